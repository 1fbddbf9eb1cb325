"""Drawing with Kivy: text, shapes, the window made ready."""
