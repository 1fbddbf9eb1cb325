"""Take the README's pictures again: `python tests/readmeshots.py [NAME …]`, after a change of what they show.

They are pictures of `face/shots.py`, `sheetshots.py`, `officeshots.py` and `screens/pageshots.py`, in 256 colours.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

HERE = Path(__file__).parent
PICTURES = HERE.parent / "assets" / "pictures"
#: The script that takes each, what it calls it, and the file that it writes.
TAKEN_BY = {
    "pool": ("face/shots.py", "pool", "pool-1280x800-dark.png"),
    "lane": ("face/shots.py", "lane-ready", "lane-ready-1280x800-dark.png"),
    "dial": ("face/shots.py", "dial", "dial-1280x800-dark.png"),
    "hand": ("face/sheetshots.py", "lane", "lane-1280x800.png"),
    "page": ("face/officeshots.py", "in a set", "in-a-set-1280x800.png"),
    "screen": ("screens/pageshots.py", "swim", "swim-768x1024-bright.png"),
}


def take(names: list[str], to: Path = PICTURES) -> None:
    """Take them, all if there are no names."""
    with tempfile.TemporaryDirectory() as folder:
        for name in names or TAKEN_BY:
            script, shown, file = TAKEN_BY[name]
            subprocess.run([sys.executable, HERE / script, folder, shown], check=True)
            with Image.open(Path(folder, file)) as picture:
                picture.convert("RGB").quantize(256, dither=Image.Dither.NONE).save(to / f"{name}.png", optimize=True)


if __name__ == "__main__":
    take(sys.argv[1:])
