"""Record the sound of a child process with SDL's disk driver, and find the tones in it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy import signal

RATE_HZ = 44_100
_ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Heard:
    """One tone without a gap: its first and last audible frame, and its pitch."""

    first: int
    last: int
    hertz: float

    @property
    def length_ms(self) -> float:
        return (self.last - self.first + 1) * 1000 / RATE_HZ


def child(folder: Path, *arguments: str, driver: str = "disk", **more: str) -> tuple[dict, Path]:
    """Run `sound_child.py` without screen, settings or home; return its facts and the recording's path."""
    raw = folder / "heard.raw"
    environment = os.environ | {
        "HOME": str(folder),
        "KIVY_HOME": str(folder / "kivy"),
        "PYTHONPATH": str(_ROOT),
        "KIVY_NO_ARGS": "1",
        "KIVY_NO_CONFIG": "1",
        "KIVY_NO_FILELOG": "1",
        "KIVY_NO_CONSOLELOG": "1",
        "SDL_VIDEODRIVER": "dummy",
        "SDL_AUDIODRIVER": driver,
        "SDL_DISKAUDIOFILE": str(raw),
        **more,
    }
    script = Path(__file__).with_name("sound_child.py")
    command = [sys.executable, str(script), *arguments]
    run = subprocess.run(command, env=environment, cwd=folder, capture_output=True, check=False, text=True, timeout=300)
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout.splitlines()[-1]), raw


def samples(raw: Path) -> np.ndarray:
    """The left channel of the recording; both are equal."""
    frames = np.fromfile(raw, dtype="<i2").reshape(-1, 2)
    assert (frames[:, 0] == frames[:, 1]).all()
    return frames[:, 0]


def heard(frames: np.ndarray, gap: int = 441) -> list[Heard]:
    """The tones in the recording: parts without `gap` silent frames in a row."""
    loud = np.flatnonzero(frames)
    if not loud.size:
        return []
    breaks = np.flatnonzero(np.diff(loud) > gap)
    firsts, lasts = loud[np.r_[0, breaks + 1]], loud[np.r_[breaks, loud.size - 1]]
    return [Heard(int(a), int(b), pitch(frames[a : b + 1])) for a, b in zip(firsts, lasts)]


def pitch(frames: np.ndarray) -> float:
    """The strongest frequency, to a tenth of a hertz or better for tones of 100 ms or more."""
    tapered = frames * signal.windows.blackmanharris(len(frames))
    size = 1 << 19
    return float(np.argmax(np.abs(np.fft.rfft(tapered, size))) * RATE_HZ / size)


def find(frames: np.ndarray, clip: np.ndarray) -> int:
    """Where `clip` fits best: the frame at which it begins."""
    match = signal.correlate(frames.astype(np.float64), clip.astype(np.float64), mode="valid", method="fft")
    return int(np.argmax(match))


def lateness_ms(wanted_ms: list[float], firsts: list[int]) -> np.ndarray:
    """How far each start is from its place, in ms, without the constant part.

    The recording's clock runs evenly but not at the speed of wall time, and the latency setting
    removes a constant lateness: a least-squares line takes out both.
    """
    wanted, at = np.array(wanted_ms), np.array(firsts) * 1000 / RATE_HZ
    slope, offset = np.polyfit(wanted, at, 1)
    return (at - (slope * wanted + offset)) / slope
