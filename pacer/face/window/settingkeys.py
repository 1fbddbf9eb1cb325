"""Settings on the bar while the view above goes on: their keys, the lanes that sound, tuning the beep."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pacer.show.drive.barsettings import adjusted, lane_keys, setting_keys, tuning_keys
from pacer.show.drive.keybar import Key
from pacer.show.drive.latencytuning import Tuning

if TYPE_CHECKING:
    from pacer.face.window.shell import Shell


class SettingUp:
    """What of the settings stands on a shell's bar: `what` is "", "settings", "sounding" or "tune"."""

    def __init__(self, shell: Shell):
        self.shell = shell
        self.what = ""
        self._tuning: Tuning | None = None

    def show(self, what: str) -> None:
        """Show the keys of the settings, of the lanes that sound, or of tuning the beep; "" for none of them."""
        shell = self.shell
        if self._tuning is not None:
            self._tuning.close()
            self._tuning = None
        if what == "tune":
            if shell.sounds.player is None:
                shell.bar.tell("no sound")
                return
            self._tuning = Tuning(shell.sounds.player, shell.driver.now_ms())
        self.what = what
        shell.bar.show_page(0)
        shell.bar_keys()

    def close(self) -> None:
        """One step back."""
        self.show("" if self.what == "settings" else "settings")

    def keys(self) -> tuple[Key, ...] | None:
        """The keys to show, None for the session's own."""
        shell = self.shell
        lanes = tuple(lane.number for lane in shell.driver.run.timeline.lanes)
        match self.what:
            case "settings":
                return setting_keys(shell.settings, several=len(lanes) > 1, running=shell.driver.running)
            case "sounding":
                return lane_keys(shell.settings, lanes)
            case "tune":
                return tuning_keys()
        return None

    def press(self, key: Key) -> None:
        """Change what `key` stands for."""
        shell = self.shell
        player = shell.sounds.player
        settings, told = adjusted(shell.settings, key, player.usual_latency_ms if player else 0)
        shell.change(settings)
        shell.bar_keys()
        if told:
            shell.bar.tell(told, for_ms=1_000)

    def lit(self, now_ms: int) -> bool | None:
        """While the beep is tuned, whether the screen is lit; else None."""
        return None if self._tuning is None else self._tuning.frame(now_ms, self.shell.sounds.latency_ms)
