"""Drawing a widget in the window and reading its pixels."""

from __future__ import annotations

from PIL import Image

SIZES = {  # pixels and pixels per inch of tablets from 7 to 12.6 inches
    (1024, 600): 170.0,
    (1280, 800): 149.5,
    (800, 1280): 149.5,
    (1920, 1200): 224.0,
    (1600, 2560): 299.0,
    (2560, 1600): 240.0,
}


def drawn_in(window, widget, view, size: tuple[int, int]):
    """`widget` at the window's lower left corner, showing `view`."""
    from kivy.base import EventLoop

    window.clearcolor = (*widget.theme.ground, 1)
    if widget.parent is None:
        window.add_widget(widget)
    widget.size_hint, widget.pos, widget.size = (None, None), (0, 0), size
    widget.show(view)
    EventLoop.idle()
    return widget


def pixels(size: tuple[int, int]) -> Image.Image:
    """What the window shows in its lower left corner, top row first."""
    from kivy.graphics.opengl import GL_RGBA, GL_UNSIGNED_BYTE, glReadPixels

    data = glReadPixels(0, 0, *size, GL_RGBA, GL_UNSIGNED_BYTE)
    return Image.frombytes("RGBA", size, bytes(data)).transpose(Image.FLIP_TOP_BOTTOM).convert("RGB")
