"""Cards, looked up and counted, say what the window's views say at every instant."""

from __future__ import annotations

import json
import random

import pytest

from pacer.screens.cardmaking import CardMaker, card_list, pack
from pacer.session.journal.entries import Begun, Ended, Paused
from pacer.session.running.replay import apply, fresh
from pacer.shippedfiles import DRILLS
from pacer.show.drive.soundplan import sound_instants
from pacer.show.view.instantview import dial_view, lane_view, pool_view
from pacer.show.view.onelaneview import foot_ways, later_ways, work_ways
from pacer.squad.files.drillreader import read_drills
from tests.screens.runs import DEMOS, anything, demo, pressed, tight
from tests.screens.shown import clock, down, in_force, lane_words, parts_of, place, unpacked, up
from tests.session.pages import session

INSTANTS = 60


def agrees(run, cards, lane, at_ms):
    """Whether cards say what the lane's own view says."""
    card, view = in_force(cards, at_ms)["lane"], lane_view(run, lane, at_ms, phase_ms=run.phase_ms)
    text = view.text
    assert lane_words(card, at_ms) == {
        "lane": text.lane, "state": text.state, "word": text.word, "shape": text.shape, "kind": view.kind,
        "inverted": view.inverted, "leave_label": view.leave_label, "leave": view.leave,
        "later": list(later_ways(view.leavers)), "in_all": list(text.swum), "present": text.present,
        "doing": list(work_ways(text)), "lit": text.lit, "cue": f"“{text.cue}”" if text.cue else "",
        "tight": list(text.tight), "foot": list(foot_ways(view.set_words, text)), "after": list(view.after),
        "hero": view.hero, "hero_label": view.hero_label, "swum": view.swum,
    }  # fmt: skip
    if text.lit >= 0:
        done = min(1.0, max(0.0, (at_ms - card["from_ms"]) / card["takes_ms"]))
        assert done == pytest.approx(view.done, abs=0.002)


@pytest.mark.parametrize("plan, squad", DEMOS)
def test_lane_cards_say_what_the_lane_view_says(plan, squad):
    rng = random.Random(f"{plan} {squad}")
    for run, from_ms, until_ms in pressed(demo(plan, squad), rng, 6):
        lane = rng.randrange(len(run.timeline.tracks))
        made = card_list(run, lane, "lane", from_ms, until_ms + 1)
        edges, cards = [card["at_ms"] for card in made], parts_of(made)
        instants = [rng.randrange(from_ms, until_ms + 1) for _ in range(INSTANTS)]
        instants += [min(until_ms, max(from_ms, rng.choice(edges) + rng.choice((-1, 0)))) for _ in range(INSTANTS)]
        for at_ms in instants:
            agrees(run, cards, lane, at_ms)


def test_a_paused_sessions_finish_moves_on_as_the_header_has_it():
    run = apply(demo(*DEMOS[0]), Paused(600_000, None))
    cards = parts_of(card_list(run, -1, "pool", 600_000, 1_200_000))
    said = {at_ms: in_force(cards, at_ms)["pool"] for at_ms in range(600_000, 1_200_000, 1_000)}
    assert all(card["out"] == pool_view(run, at_ms).out for at_ms, card in said.items())
    assert 9 <= len({card["out"] for card in said.values()}) <= 11, "it moves by minutes"
    assert len(cards["pool"][0]) < 60


def test_so_do_those_of_plans_with_all_that_can_be_written():
    rng = random.Random(19)
    for begun in (tight(), *(anything(rng) for _ in range(25))):
        for run, from_ms, until_ms in pressed(begun, rng, 3):
            for lane in range(len(run.timeline.tracks)):
                cards = parts_of(card_list(run, lane, "lane", from_ms, until_ms + 1))
                for _ in range(15):
                    agrees(run, cards, lane, rng.randrange(from_ms, until_ms + 1))


@pytest.mark.parametrize("plan, squad", DEMOS)
def test_pool_and_dial_cards_say_what_those_views_say(plan, squad):
    rng = random.Random(f"{plan} {squad} pool")
    for run, from_ms, until_ms in pressed(demo(plan, squad), rng, 4):
        cards = parts_of(card_list(run, -1, "pool", from_ms, until_ms + 1, whose="wall"))
        for _ in range(INSTANTS):
            at_ms = rng.randrange(from_ms, until_ms + 1)
            found = in_force(cards, at_ms)
            pool, view = found["pool"], pool_view(run, at_ms, phase_ms=run.phase_ms)
            dial = dial_view(run, at_ms, phase_ms=run.phase_ms)
            session = pool["session"] or down(pool["to_ms"], at_ms) or up(pool["since_ms"], at_ms)
            assert session == view.session
            said = [pool[key] for key in ("session_label", "section", "dial_section", "title", "out", "over", "begun")]
            assert said == [view.session_label, view.section, dial.section, view.title, view.out, view.over, view.begun]
            assert pool["spare"] == list(view.spare) and bool(pool["stopped"]) == (view.stopped and not run.ended_ms)
            assert clock(pool, at_ms) == view.clock
            assert [(mark[0], *mark[2:]) for mark in pool["marks"]] == [
                (mark.second, mark.colour, mark.later) for mark in dial.marks
            ]
            for lane, band in enumerate(view.bands):
                card, text = found[f"band {lane}"], band.text
                assert [card[key] for key in ("lane", "state", "word", "shape", "clock", "leave_label", "name")] == [
                    text.lane, text.state, text.word, text.shape, text.clock, text.leave_label, text.name
                ]  # fmt: skip
                assert (down(card["leave_ms"], at_ms), up(card["sent_ms"], at_ms)) == (band.count, band.swum)
                swimmers = [place(found[f"swimmer {lane} {number}"], at_ms) for number in range(len(band.places))]
                assert f"swimmer {lane} {len(swimmers)}" not in found
                for there, here in zip(swimmers, band.places):
                    apart = abs((there - here + 1) % 2 - 1) if min(there, here) >= 0 else abs(there - here)
                    assert apart < 0.002, (swimmers, band.places)


def test_a_lane_that_comes_home_from_the_far_wall_after_the_end_does_so_on_lane_screens_too():
    """25 m in 20 s, five seconds apart: all four are at the far wall at 0:40, and home 23 s later."""
    page, squad = "pool: 25 m\nMain set\n  8 x 25 on 0:45\n", '[[lane]]\nnumber = 2\nbase = "1:20"\nswimmers = 4\n'
    run = apply(apply(fresh(session(page, squad)), Begun(-10_000, 0, 0, "+00:00")), Ended(40_000))
    lane, pool = (parts_of(card_list(run, index, view, 40_000, 70_000)) for index, view in ((0, "lane"), (-1, "pool")))
    for at_ms in range(40_000, 70_000, 500):
        agrees(run, lane, 0, at_ms)
        there = [place(in_force(pool, at_ms)[f"swimmer 0 {number}"], at_ms) for number in range(4)]
        assert there == pytest.approx(pool_view(run, at_ms).bands[0].places, abs=0.002), at_ms


def test_minutes_put_together_are_the_whole():
    run = demo(*DEMOS[0])
    for kind in ("lane", "dial"):
        whole = {}
        for card in card_list(run, 1, kind, 0, 600_000):
            whole.setdefault(card["part"], []).append(card)
        joined = {}
        for from_ms in range(0, 600_000, 60_000):
            for card in card_list(run, 1, kind, from_ms, from_ms + 60_000):
                before = joined.setdefault(card["part"], [])
                if not before or card | {"at_ms": 0} != before[-1] | {"at_ms": 0}:
                    before.append(card)
        assert joined == whole


def test_before_the_start_there_is_one_card_of_each_part():
    run = fresh(demo(*DEMOS[0]).timeline)
    cards = card_list(run, 0, "lane", 0, 1)
    assert sorted(card["part"] for card in cards) == ["lane", "pool"]
    assert in_force(cards, 0)["lane"]["hero"] == "WAIT"
    assert in_force(card_list(run, 0, "dial", 0, 1), 0)["pool"]["session"] == "not started"


def test_beeps_are_those_of_the_tablet():
    run = demo(*DEMOS[0])
    sounds = sound_instants(run, (), (run.timeline.lanes[0].number,))
    cards = card_list(run, 0, "lane", -10_000, run.timeline.end_ms, sounds=sounds)
    assert [card["at_ms"] for card in cards if card["part"] == "beep"] == list(sounds)
    assert len(sounds) > 20 and sounds[0] == 0


def test_no_name_is_in_a_card():
    run = demo("long-axis-rotation-3", "thursday")
    names = {swimmer.name for lane in run.timeline.squad.lanes for swimmer in lane.swimmers if swimmer.name}
    said = json.dumps(card_list(run, 0, "lane", 0, 3_600_000) + card_list(run, -1, "pool", 0, 3_600_000))
    assert names and not [name for name in names if name in said]


def test_how_a_drill_is_swum_comes_from_the_book():
    run, book = demo("long-axis-rotation-3", "thursday"), read_drills(DRILLS.read_text(encoding="utf-8"))
    hows = {card["how"] for card in CardMaker(run, book=book).lane(0, 0, 3_600_000)}
    assert hows - {""} and hows - {""} <= {drill.how for drill in book.drills}


def test_packed_cards_are_the_same_and_small():
    run = demo("long-axis-rotation-3", "masters")
    cards = card_list(run, -1, "pool", 0, 3_600_000) + card_list(run, 0, "lane", 0, 3_600_000)
    packed = pack(cards)
    assert unpacked(json.loads(json.dumps(packed))) == json.loads(json.dumps(cards))
    assert len(json.dumps(packed)) < 0.26 * len(json.dumps(cards))
