"""The sounds: the tones of each clip, and its WAV bytes.

A clip is one 16-bit mono WAV, however many beeps it has. So the gaps between its beeps are exact to
the sample on any device; only the start of the clip depends on the player.

The sounds are made for a pool hall: 80 dB(A) and more of noise (Sichere Schule; reference
value, school use) and a reverberation of 1.2 to 2 s (KOK, AB 07/2016). Every frequency lies
inside 500-2,500 Hz (ISO 7731:2003, from memory), where ears and small loudspeakers are both
good. The long beep is an octave higher as well as longer than the short ones, because
the echo lengthens every beep; the ear needs about 200 ms to hear a tone at its full
loudness (common practice, no source). Nobody should mistake stop all for a count-down, which
beeps once a second on one pitch, or for a building's alarm, so it is three bursts of a
quick two-tone fall.
"""

from __future__ import annotations

import functools
import io
import math
import sys
import wave
import zlib
from array import array
from dataclasses import dataclass
from pathlib import Path

from pacer.disk import write_whole

RATE_HZ = 44_100  #: samples a second
BEEP_MS = 1_000  #: from one beep of a count-down to the next
SHORTS = 3  #: short beeps of a whole count-down
LEAD_MS = SHORTS * BEEP_MS  #: from a whole count-down's start to its send-off

SHORT_HZ, SHORT_MS = 880, 200  # A5 (ISO 16:1975, from memory)
LONG_HZ, LONG_MS = 1_760, 600  # A6, an octave up
STOP_HZ = (1_480, 1_047)  # about F#6 and C6, a tritone: no chord, no melody
STOP_TONE_MS = 125  # 4 falls a second, the fastest pulse of ISO 7731:2003 (from memory)
TICK_HZ, TICK_MS = 2_000, 40
TUNING_HZ, TUNING_MS = 1_320, 100

PEAK = 0.95  #: of full scale, so that no device's own gain causes clipping
RISE_MS, FALL_MS = 5, 20  #: raised-cosine edges: an edge of no length is a click
TAIL_MS = 50  #: silence at the end, for players that cut off the last of a file

_PREFIX = "beep-"


@dataclass(frozen=True, slots=True)
class Tone:
    """One steady pitch in a clip, `at_ms` after the clip's start."""

    at_ms: int
    length_ms: int
    hertz: int


@dataclass(frozen=True, slots=True)
class Clip:
    """A sound: its tones in order, none overlapping the one before.

    `rank` says what may interrupt it while it sounds: a clip of a lower rank is dropped, one of the
    same or a higher rank replaces it. `level` is its loudness, in per cent of the others' amplitude.
    """

    name: str
    tones: tuple[Tone, ...]
    rank: int = 0
    level: int = 100

    @property
    def length_ms(self) -> int:
        """The time from the clip's start to the end of its last tone."""
        return self.tones[-1].at_ms + self.tones[-1].length_ms

    def check(self) -> None:
        """Assert the invariants."""
        end_ms = 0
        for tone in self.tones:
            assert tone.at_ms >= end_ms and tone.length_ms >= RISE_MS + FALL_MS and tone.hertz > 0
            end_ms = tone.at_ms + tone.length_ms


def _countdown(shorts: int) -> Clip:
    beeps = tuple(Tone(n * BEEP_MS, SHORT_MS, SHORT_HZ) for n in range(shorts))
    return Clip(f"countdown-{shorts}", (*beeps, Tone(shorts * BEEP_MS, LONG_MS, LONG_HZ)), rank=1)


def _stop_all() -> Clip:
    bursts = (burst * 10 * STOP_TONE_MS for burst in range(3))
    tones = tuple(Tone(start + n * STOP_TONE_MS, STOP_TONE_MS, STOP_HZ[n % 2]) for start in bursts for n in range(8))
    return Clip("stop-all", tones, rank=2)


#: `COUNTDOWNS[n]`: n short beeps and the long one, whose onset is n seconds after the start.
#: The whole one has three; the others are for send-offs that become known too late for it.
COUNTDOWNS = tuple(_countdown(shorts) for shorts in range(SHORTS + 1))
STOP_ALL = _stop_all()  #: everybody stops, at once
TICK = Clip("tick", (Tone(0, TICK_MS, TICK_HZ),), level=30)  #: one beat of a stroke rate: soft, for one lane
TUNING = Clip("tuning", (Tone(0, TUNING_MS, TUNING_HZ),))  #: for setting the latency
CLIPS = (*COUNTDOWNS, STOP_ALL, TICK, TUNING)


def still_right(clip: Clip, late_ms: float) -> tuple[Clip, int] | None:
    """The rest of a count-down that can still come on time, `late_ms` after it should have begun, and when.

    "When" is in milliseconds after that beginning.

    The rest starts at the next whole beep, so that the long beep stays in its place. None: nothing is left, or the clip
    is not a count-down.

    >>> [(rest[0].name, rest[1]) for rest in (still_right(COUNTDOWNS[3], 300), still_right(COUNTDOWNS[3], 2_000.5))]
    [('countdown-2', 1000), ('countdown-0', 3000)]
    """
    if clip not in COUNTDOWNS:
        return None
    missed = math.ceil(late_ms / BEEP_MS)
    shorts = len(clip.tones) - 1 - missed
    return (COUNTDOWNS[shorts], missed * BEEP_MS) if shorts >= 0 else None


def samples(clip: Clip, volume: int = 100) -> array[int]:
    """The clip as 16-bit samples at `RATE_HZ`, including `TAIL_MS` of silence.

    `volume` is per cent of the amplitude, 0 to 100. A tone begins at its instant rounded
    down to a sample; whole seconds are whole samples. Its first and last sample are zero.

    >>> len(samples(TICK)) == RATE_HZ * (TICK_MS + TAIL_MS) // 1000
    True
    """
    frames = array("h", bytes(2 * _frames(clip.length_ms + TAIL_MS)))
    peak = 32_767 * PEAK * volume / 100 * clip.level / 100
    for tone in clip.tones:
        start = _frames(tone.at_ms)
        wave = tone_samples(tone.hertz, _frames(tone.length_ms), peak)
        frames[start : start + len(wave)] = wave
    return frames


@functools.cache  # a handful of tones make all clips
def tone_samples(hertz: int, length: int, peak: float) -> array[int]:
    """The samples of a tone, faded at both ends."""
    turn, sin = 2 * math.pi * hertz / RATE_HZ, math.sin
    form = array("h", [round(peak * sin(turn * n)) for n in range(length)])
    for frames, falls in ((_frames(RISE_MS), False), (_frames(FALL_MS), True)):
        for n in range(frames):
            place = length - 1 - n if falls else n
            edge = (1 - math.cos(math.pi * n / frames)) / 2
            form[place] = round(peak * edge * sin(turn * place))
    return form


def clip_bytes(clip: Clip, volume: int = 100) -> bytes:
    """The clip as a complete WAV file: RIFF, PCM, 16 bit, mono, `RATE_HZ`."""
    frames = samples(clip, volume)
    if sys.byteorder == "big":
        frames.byteswap()  # WAV is little-endian
    file = io.BytesIO()
    with wave.open(file, "wb") as writer:
        writer.setnchannels(1)
        writer.setsampwidth(2)
        writer.setframerate(RATE_HZ)
        writer.writeframes(frames.tobytes())
    return file.getvalue()


def clip_file(clip: Clip, folder: Path, volume: int = 100) -> Path:
    """The clip as a file in `folder`, for players that need a path; it is rendered only once.

    The name has a checksum of the clip's tones, so that a changed clip is a new file. The file is
    written whole or not at all. Raises OSError if the folder cannot be written to.
    """
    recipe = repr((clip, RATE_HZ, PEAK, RISE_MS, FALL_MS, TAIL_MS))
    path = folder / f"{_PREFIX}{clip.name}-{volume}-{zlib.crc32(recipe.encode()):08x}.wav"
    if not path.exists():
        write_whole(path, clip_bytes(clip, volume), sure=False)
    return path


def clear_files(folder: Path, keep: set[Path]) -> None:
    """Delete every file that `clip_file` made in `folder` except those in `keep`; touch nothing else."""
    for path in folder.glob(f"{_PREFIX}*"):
        if path not in keep:
            path.unlink(missing_ok=True)


def _frames(ms: int) -> int:
    return ms * RATE_HZ // 1000
