"""Drawing with Kivy: text, shapes, the window made ready.

**Decided**

- What costs at the start is left out. Kivy reads the one rule of style that is used instead of those of all its
  widgets (a fifth of an empty app's start), nothing looks for cycles before the first picture stands, sound and
  device are opened after it. Would change it: using another of Kivy's widgets; it needs its rule in
  `pacer/face/kit/rules/style.kv`.
- A frame is few strokes of the brush. Digits are cut from one strip and drawn as one mesh, round corners are a
  small texture stretched over nine parts, grounds are cleared rather than filled, outlines are meshes: Kivy's
  `Line` clears the stencil for each one that is not opaque, its smooth shapes cost thrice as much. What is hidden
  is not drawn transparently. Evidence: `bench_face.py`, `bench_editor.py`.
"""
