"""Drawing with Kivy: text, shapes, setting up the window.

**Decided**

- Nothing costly happens at the start. Kivy reads only the one style rule that is used instead of those of all its
  widgets (which take a fifth of an empty app's start), garbage collection waits for the first picture, and sound and
  device are opened after it. When to change this: another of Kivy's widgets needs its rule in
  `pacer/face/kit/rules/style.kv`.
- A frame takes few draw calls. Digits are cut from one strip and drawn as one mesh, round corners are a small texture
  stretched over nine parts, backgrounds are cleared rather than filled, outlines are meshes: Kivy's `Line` clears the
  stencil for every one that is not opaque, and its smooth shapes cost three times as much. What is hidden is not drawn
  at all, rather than drawn transparently. Measured by `bench_face.py`, `bench_editor.py`.
"""
