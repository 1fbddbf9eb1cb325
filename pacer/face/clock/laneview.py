"""The lane view, for the swimmers: one lane fills the screen, in tiers that are read from different distances."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kivy.graphics import InstructionGroup
from kivy.properties import ColorProperty

from pacer.face.clock.lanelayout import CAPITALS, LaneBoxes, lane_boxes
from pacer.face.clock.ribbon import Ribbon
from pacer.face.clock.runningview import RunningView
from pacer.face.kit.background import Ground, keep_ground
from pacer.face.kit.ink import NOWHERE, Arrow, Box, Digits, Frame, Plate, StateShape, Words
from pacer.face.kit.textures import measure
from pacer.show.measure.fitting import FOOT, LINE, cue_words, lines_height
from pacer.show.measure.legibility import DRY, Glass
from pacer.show.measure.theme import Theme, contrast
from pacer.show.view.onelaneview import foot_ways, later_ways, work_ways
from pacer.show.view.viewvalues import LaneNow
from pacer.show.wording.viewtext import clock_ways, say

SWIPE = 0.15  #: how far a swipe goes to choose the next lane, in widths of the screen
STRAYED = 0.05  #: a finger that moved farther than this has not tapped
SIDE = 0.2  #: share of the width at each side where a tap chooses the next lane


class LaneView(RunningView):
    """Draws a `pacer.show.view.viewvalues.LaneNow`.

    A swipe sideways, or a tap near a side, chooses the next lane; any other tap times a touch.
    """

    ground = ColorProperty((0, 0, 0, 0))  #: opaque if it differs from the window's

    def __init__(self, **kwargs):
        super().__init__(**kwargs)
        keep_ground(self)

    def on_touch_down(self, touch):
        """Note where a finger begins: one that came down on another view means nothing here."""
        if self.collide_point(*touch.pos):
            touch.ud[self] = True
        return super().on_touch_down(touch)

    def on_touch_up(self, touch):
        """A finger that went sideways chooses the next lane."""
        dx, dy = touch.x - touch.ox, touch.y - touch.oy
        if not self.face or self not in touch.ud:
            return super().on_touch_up(touch)
        step = 0
        if abs(dx) > SWIPE * self.width and abs(dx) > 2 * abs(dy):
            step = 1 if dx < 0 else -1
        elif abs(dx) < STRAYED * self.width:
            share = (touch.ox - self.x) / self.width
            step = -1 if share < SIDE else 1 if share > 1 - SIDE else 0
            if not step:
                self.dispatch("on_arrival", self.face.index)
                return True
        index = self.face.index + step
        if step and 0 <= index < self.face.lanes:
            self.dispatch("on_lane", index)
            return True
        return super().on_touch_up(touch)

    def band_box(self, index: int) -> Box:
        """Where a time is shown: over the foot."""
        foot, left = self.face.boxes.foot_left, self.x + self.corner[0]
        return Box(left, foot.y, self.right - left, max(foot.height, 1.0))

    def keep_clear(self, boxes: Sequence[Box]) -> None:
        """While something covers `boxes`, write the foot beside them."""
        self.face.keep_clear(boxes)

    def foretell(self, said: Mapping[int, tuple[str, ...]]) -> None:
        """The lane says in its foot what becomes of it."""
        super().foretell(said)
        if self.face:
            self.face.foretell(said.get(self.face.index, ()))

    def show(self, view: LaneNow) -> None:
        """Draw `view`, on the background that its state asks for."""
        laid, index = self._laid, self.face.index if self.face else -1
        super().show(view)
        if self._laid is not laid or self.face.index != index:
            self.foretell(self.foretold)
        ground = self.face.ground
        self.ground = (*ground, float(ground != self.theme.ground))

    def shape_of(self, view: LaneNow) -> tuple:
        """Whether there is a cue, work to do, and somebody or something beside the leader."""
        return bool(view.text.cue), bool(view.text.doing[0]), len(view.leavers) > 1 or bool(view.swum)

    def laid_out(self, view: LaneNow) -> _Face:
        """All three tiers."""
        cue, work, extra = self.shape_of(view)
        boxes = lane_boxes(Box(*self.pos, *self.size), self.glass, cue, work, extra, self.corner)
        return _Face(self.canvas, boxes, self.theme, self.glass)


class _Face:
    """The parts of the lane view, laid out."""

    def __init__(self, canvas, boxes: LaneBoxes, theme: Theme, glass: Glass):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.boxes, self.theme, self.glass = boxes, theme, glass
        self.block = Ground(self.group)
        self.block_edge = Frame(self.group)
        self.number = Digits(self.group, "number", 1)
        self.shape = StateShape(self.group)
        self.word = Words(self.group, "state", 1)
        self.hero = Digits(self.group, "count-down", 1)
        self.swum_hero = Digits(self.group, "count-up", 1, bold=False)
        self.hero_word = Words(self.group, "hero", 1)
        self.hero_label = Words(self.group, "hero label")
        self.hero_arrow = Arrow(self.group)
        self.rule = Plate(self.group)
        self.now = Digits(self.group, "now", 2)
        self.leave = Digits(self.group, "leave", 2)
        self.now_label = Words(self.group, "now label")
        self.leave_label = Words(self.group, "leave label")
        self.leavers = Words(self.group, "leavers", 2)
        self.swum = Digits(self.group, "swum", 2, bold=False)
        self.swum_label = Words(self.group, "swum label")
        self.segment = Ground(self.group)
        self.ribbon = Ribbon(self.group)
        self.frame = Frame(self.group)
        self.tag = Words(self.group, "tag")
        self.doing = Words(self.group, "doing", 2)
        self.cue = Words(self.group, "cue", 2)
        self.foot_left = Words(self.group, "set")
        self.warning = StateShape(self.group)
        self.tight = Words(self.group, "tight")
        self.foot_right = Words(self.group, "after")
        self.forecast = Words(self.group, "forecast")
        self.foretold: tuple[str, ...] = ()
        self.said: tuple | None = None
        self.foot_end = boxes.foot_right.right  #: right end of the foot's words
        self.index, self.lanes = 0, 1
        self.ground, self.ink, self.dim = theme.ground, theme.ink, theme.dim

    def keep_clear(self, boxes: Sequence[Box]) -> None:
        """Let the foot say only what has room beside `boxes`."""
        foot = self.boxes.foot_left
        end = min(
            (box.x - self.boxes.label_cap / 2 for box in boxes if box.y < foot.top and box.top > foot.y),
            default=self.boxes.foot_right.right,
        )
        if end != self.foot_end:
            self.foot_end, self.said = end, None

    def foretell(self, ways: tuple[str, ...]) -> None:
        """From now on say in the foot what becomes of the lane; (): what it always says."""
        if ways != self.foretold:
            self.foretold, self.said = ways, None

    def show(self, view: LaneNow) -> None:
        """Draw it."""
        self.index, self.lanes = view.index, view.lanes
        said = (
            view.text,
            view.kind,
            view.hero_label,
            view.inverted,
            view.flash,
            view.leave_label,
            view.leave,
            view.leavers,
            view.after,
            bool(view.swum),
            view.hero if view.kind == "word" else "",
            view.whose,
        )
        if said != self.said:
            self.said = said
            self._write(view)
        if view.kind == "down":
            self.hero.show(view.hero)
        elif view.kind == "up":
            self.swum_hero.show(view.hero)
        self.now.show(view.now)
        if self.boxes.swum is not None:
            self.swum.show(view.swum if view.kind != "up" else "")
        if view.text.lit >= 0 and self.boxes.ribbon is not None:
            self.ribbon.show(view.done)

    def _write(self, view: LaneNow) -> None:
        theme, boxes, glass = self.theme, self.boxes, self.glass
        text = view.text
        state = theme.colour(text.state)
        dark = theme.name == "dark"
        if view.inverted:
            self.ground, self.ink = (state, theme.on_state) if dark else (theme.flip, state)
            self.dim = self.ink
            block, block_ink = self.ink, self.ground
        else:
            self.ground, self.ink, self.dim = theme.ground, theme.ink, theme.dim
            block, block_ink = state, theme.on_state
        if view.flash:
            self.ground = theme.ink if dark else theme.flip_ink
            self.ink = self.dim = theme.on_state
            block, block_ink = theme.on_state, self.ground
        ink, dim = self.ink, self.dim
        one, two, coach = glass.tier_1_px, glass.tier_2_px, boxes.label_cap
        self.block.put(boxes.block, block)
        if contrast(block, self.ground) < 1.5:
            self.block_edge.put(boxes.block, ink, max(2.0, 0.01 * boxes.block.height))
        else:
            self.block_edge.hide()
        self.number.lay(boxes.number, boxes.number.height, block_ink, "middle")
        self.number.show(text.lane)
        self.shape.put(text.shape, boxes.shape, block_ink)
        if view.kind == "word":  # the state is the hero; its meaning takes its place
            self.word.put(view.hero_label, boxes.said, min(two, boxes.said.height / LINE), coach, dim, lines=2)
            self.hero_label.clear()
            self.hero_arrow.put(NOWHERE, dim, False)
        else:
            self.word.put(text.word, boxes.word, boxes.word.height / CAPITALS, one, ink, bold=True)
            self._label_hero(view.hero_label, dim, coach)
        self._hero(view, ink, one)
        self.rule.put(boxes.rule, dim if view.inverted else theme.line)
        self._clocks(view, ink, dim, coach)
        self._work(view, state, ink, two, coach)
        if self._foretell(ink, coach):
            return
        sign = boxes.foot_left._replace(width=coach)
        ahead = (1.5 * coach + measure(text.tight[0], coach, True) + coach) if text.tight else 0.0
        if text.tight and self.foot_end >= sign.x + ahead:
            self.warning.put("warning", sign, ink)
            self.tight.put(
                text.tight,
                sign._replace(x=sign.x + 1.5 * coach, width=ahead - 2.4 * coach),
                coach,
                coach,
                ink,
                bold=True,
            )
        else:
            self.warning.hide()
            self.tight.clear()
            ahead = 0.0
        ways = foot_ways(view.set_words, text)
        self.foot_right.put(
            view.after if self.foot_end >= boxes.foot_right.right and ahead <= boxes.foot_left.width else "",
            boxes.foot_right,
            coach,
            coach,
            dim,
            across="right",
        )
        # What the words at the right leave.
        right = max(boxes.foot_left.right, boxes.foot_right.right - self.foot_right.width - coach)
        room = boxes.foot_left._replace(x=sign.x + ahead, width=max(0.0, min(right, self.foot_end) - sign.x - ahead))
        fits = self.foot_end >= boxes.foot_right.right and not ahead or measure(ways[-1], coach) <= room.width
        self.foot_left.put(ways if fits else "", room, coach, coach, ink)

    def _foretell(self, ink, coach: float) -> bool:
        """Say in the foot what becomes of the lane, in characters of a size that is read with a finger on the glass."""
        foot = self.boxes.foot_left
        room = foot._replace(width=min(self.foot_end, self.boxes.foot_right.right) - foot.x)
        if not self.foretold or room.width < measure(self.foretold[-1], DRY * coach, True):
            self.forecast.clear()
            return False
        for words in (self.tight, self.foot_left, self.foot_right):
            words.clear()
        self.warning.hide()
        self.forecast.put(self.foretold, room, coach, DRY * coach, ink, bold=True)
        return True

    def _label_hero(self, label: str, dim, coach: float) -> None:
        """What is counted, over the end of the digits, with an arrow to them."""
        box, cap = self.boxes.hero_label, self.boxes.label_cap
        if box.height > LINE * cap + 1:  # beside the state, however short that is
            left = self.boxes.word.x + self.word.width + 0.8 * cap
            box = box._replace(x=left, width=box.right - left)
        side = 0.8 * cap
        room = box._replace(width=box.width - side - 0.4 * cap)
        self.hero_label.put(label, room, cap, coach, dim, across="right", up="bottom", lines=2)
        base = box.y + FOOT * cap + 0.1 * cap
        self.hero_arrow.put(Box(box.right - side, base, side, side) if label else NOWHERE, dim, False)

    def _hero(self, view: LaneNow, ink, floor: float) -> None:
        box = self.boxes.hero
        self.hero.lay(box, box.height, ink, "middle")
        self.swum_hero.lay(box, box.height * 0.8, ink, "middle")
        if view.kind != "down":
            self.hero.show("")
        if view.kind != "up":
            self.swum_hero.show("")
        self.hero_word.put(
            view.hero if view.kind == "word" else "",
            self.boxes.hero_word,
            self.boxes.hero.height,
            floor,
            ink,
            bold=True,
            across="middle",
        )

    def _clocks(self, view: LaneNow, ink, dim, coach: float) -> None:
        boxes = self.boxes
        lines = 2 if boxes.now_label.height >= lines_height(2, boxes.label_cap) else 1
        self.now_label.put(clock_ways(view.whose), boxes.now_label, boxes.label_cap, coach, dim, lines=lines)
        rise = "bottom" if boxes.now_across == "right" else "middle"  # side by side: on one base line
        self.now.lay(boxes.now, boxes.clock_cap, ink, boxes.now_across, rise)
        leave = (view.leave_label, say("at")) if view.leave else view.leave_label
        self.leave_label.put(leave, boxes.leave_label, boxes.label_cap, coach, dim, lines=lines)
        self.leave.lay(boxes.leave, boxes.clock_cap, ink, boxes.now_across)
        self.leave.show(view.leave)
        if boxes.leavers is None:
            self.leavers.clear()
            return
        if view.swum and view.kind != "up":
            self.leavers.clear()
        else:
            cap = max(coach, boxes.leavers_cap)
            self.leavers.put(later_ways(view.leavers), boxes.leavers, cap, coach, ink, lines=2)
        assert boxes.swum_label is not None and boxes.swum is not None, "they go with the time"
        self.swum_label.put(
            (say("swum"), say("swum short"), "") if view.swum and view.kind != "up" else "",
            boxes.swum_label,
            boxes.label_cap,
            coach,
            dim,
        )
        self.swum.lay(boxes.swum, boxes.swum_cap, ink, boxes.now_across, "bottom")

    def _work(self, view: LaneNow, state, ink, floor: float, coach: float) -> None:
        theme, boxes, text = self.theme, self.boxes, view.text
        box = boxes.segment
        if box is None or not text.doing[0]:
            self.segment.hide()
            self.ribbon.hide()
            self.frame.hide()
            self.tag.clear()
            self.cue.clear()
            self.doing.put(text.swum, boxes.total, boxes.clock_cap, coach, ink, bold=True)
            return
        if len(text.ribbon) <= 1 and text.lit < 0:
            self.ribbon.hide()
        else:
            flipped = view.inverted or view.flash
            assert boxes.ribbon is not None, "it goes with the segment"
            self.ribbon.put(
                text, boxes.ribbon, self._flipped() if flipped else theme, coach, boxes.ribbon.height, False, flipped
            )
        lit = text.lit >= 0
        edge = max(2.0, 0.03 * box.height)
        if lit:
            self.segment.put(box, state if not view.inverted else ink)
            self.frame.hide()
            colour = theme.on_state if not view.inverted else self.ground
        else:
            self.segment.hide()
            self.frame.put(box, state if not view.inverted and theme.name == "dark" else ink, edge)
            colour = ink
        pad = min(0.18 * box.height, 0.7 * coach)
        inner = box.inset(pad, edge + 0.06 * box.height)
        tag = self.tag.put(text.present, inner, coach, coach, colour)
        left = self.tag.width + pad if tag.lines else 0
        room = Box(inner.x + left, inner.y, inner.width - left, inner.height)
        self.doing.put(
            work_ways(text), room, boxes.doing_cap, min(floor, boxes.doing_cap * 0.65), colour, bold=True, lines=2
        )
        if boxes.cue is not None:
            self.cue.put(cue_words(text.cue)[0], boxes.cue, boxes.cue_cap, coach, ink, lines=2)
        else:
            self.cue.clear()

    def _flipped(self) -> Theme:
        """The theme on an inverted screen."""
        return replace(self.theme, ground=self.ground, ink=self.ink, dim=self.ink, line=self.ink)

    def drawn(self) -> list:
        """Its words: for tests."""
        return [
            self.number,
            self.word,
            self.hero,
            self.swum_hero,
            self.hero_word,
            self.hero_label,
            self.now,
            self.leave,
            self.now_label,
            self.leave_label,
            self.leavers,
            self.swum,
            self.swum_label,
            self.tag,
            self.doing,
            self.cue,
            self.tight,
            self.foot_left,
            self.foot_right,
            self.forecast,
        ]
