"""Settings on the bar while the view above keeps running: their keys, the lanes that beep, the sound delay."""

from __future__ import annotations

from pacer.face.window.pageshost import ShellForPages
from pacer.language import tr
from pacer.show.drive.barkeychoice import Key
from pacer.show.drive.barsettingchoice import adjusted, lane_keys, setting_keys, tuning_keys
from pacer.show.drive.delaytuning import Tuning


class BarSettingKeys:
    """The settings on a session's bar: `what` is "", "settings", "sounding" or "tune"."""

    def __init__(self, stage: ShellForPages):
        self.stage = stage
        self.what = ""
        self._tuning: Tuning | None = None

    def show(self, what: str) -> None:
        """Show the keys of the settings, of the lanes that beep, or of the sound delay; "" for none."""
        stage = self.stage
        if self._tuning is not None:
            self._tuning.close()
            self._tuning = None
        if what == "tune":
            if stage.sounds.player is None:
                stage.bar.tell(tr("no sound"))
                return
            self._tuning = Tuning(stage.sounds.player, stage.driver.now_ms())
        self.what = what
        stage.bar.show_page(0)
        stage.bar_keys()

    def close(self) -> None:
        """One step back."""
        self.show("" if self.what == "settings" else "settings")

    def keys(self) -> tuple[Key, ...] | None:
        """The keys to show, None for the session's own."""
        stage = self.stage
        lanes = tuple(lane.number for lane in stage.driver.run.timeline.lanes)
        match self.what:
            case "settings":
                return setting_keys(stage.settings, several=len(lanes) > 1, running=stage.driver.running)
            case "sounding":
                return lane_keys(stage.settings, lanes)
            case "tune":
                return tuning_keys()
        return None

    def press(self, key: Key) -> None:
        """Make the change that `key` is for."""
        stage = self.stage
        player = stage.sounds.player
        settings, told = adjusted(stage.settings, key, player.usual_latency_ms if player else 0)
        stage.change(settings)
        stage.bar_keys()
        if told:
            stage.bar.tell(told, for_ms=1_000)

    def lit(self, now_ms: int) -> bool | None:
        """While the sound delay is adjusted, whether the screen is lit; else None."""
        return None if self._tuning is None else self._tuning.frame(now_ms, self.stage.sounds.latency_ms)
