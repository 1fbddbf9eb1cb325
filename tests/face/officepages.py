"""Every page of the office in every state that asks for other words, for tests of what fits and for random touching."""

from __future__ import annotations

from dataclasses import replace

LONG = "Wilhelmina-Konstanze Featherstonehaugh of the early lane"[:60]


def swim_in(coach, distance="400"):
    """A test swim of the lane in hand, from its start to the last touch."""
    coach.page.press(f"swim {distance}")
    coach.page.press("soon")
    swim = coach.page.swim
    for place in swim.places:
        coach.frame(max(0, swim.leaves_ms(place) + int(distance) * 900 + 3_000 * place - coach.boot_ms))
        coach.page.tapped()
    coach.frame()


def name_somebody(coach):
    """The longest name there can be."""
    from pacer.squad.register import roster as edit

    page = coach.page
    lanes = page.roster.squad.lanes
    if len(lanes) > 2 and len(lanes[2].swimmers) > 1:  # a monkey may have deleted them
        page.change(lambda roster: edit.with_name(roster, 2, 1, LONG))
    page.change(lambda roster: edit.named(roster, "The Brackenmere club's long-axis squad of the late evening"))


def squad(coach):
    """The squad's page, its first lane in hand."""
    coach.office.squad()
    coach.frame()
    coach.page.press("lane 0")


def a_lane(coach):
    """One lane, somebody away, the longest name."""
    squad(coach)
    name_somebody(coach)
    coach.page.press("lane 2")
    coach.page.press("here 0")


def pressed(*names, first=squad):
    """The page of `first` after these presses."""

    def arrive(coach):
        first(coach)
        coach.frame(20)  # the page is laid out before anybody presses
        for name in names:
            coach.page.press(name)

    return arrive


def test_swims(coach):
    """Test swims of lane 3."""
    a_lane(coach)
    coach.page.press("test")


test_swims.__test__ = False


def waiting(coach):
    """A test swim that has not begun."""
    test_swims(coach)
    coach.page.press("swim 400")


def leaving(coach):
    """The second leaves."""
    waiting(coach)
    coach.page.press("soon")
    coach.frame(12_000)


def all_in(coach):
    """All are in."""
    test_swims(coach)
    swim_in(coach)


def one_in(coach):
    """One has come in, one is marked."""
    leaving(coach)
    coach.frame(400_000)
    coach.page.tapped()
    coach.page.press("row 2")


def new_bases(coach):
    """What two test swims come to."""
    all_in(coach)
    coach.page.press("keep")
    swim_in(coach, "200")
    coach.page.press("keep")


def settings(coach):
    """The settings."""
    coach.office.set_up()


def ready(coach):
    """The page before the start."""
    coach.office.run(coach.office.shelf.text("long-axis-rotation-4"))


FIRST_PLAN = """\
title: My first plan
pool: 25 m
booking: 60 min

Warm-up
  300 free easy
  4 x 50 drill / swim, rest 0:15
Main set
  8 x 100 free, on 2:00 / 2:05 / 2:20 / 2:30 / 2:40 / 3:10
Swim-down
  200 choice
"""


def ready_short(coach):
    """A coach's own short plan before its start."""
    coach.office.shelf.add(FIRST_PLAN)
    coach.office.run(FIRST_PLAN)


def heads(coach):
    """Heads before the start, one of lane 3 away."""
    ready(coach)
    coach.page.press("heads")
    coach.page.press("less 2")


def counted(coach):
    """The page before the start of a demo, after fewer went in than are here."""
    ready(coach)
    coach.page.press("heads")
    coach.page.press("other")
    for key in ("2", "4"):
        coach.page.press(f"pad {key}")
    coach.page.press("take")


def flagged(coach):
    """Before a session with a line that has to be confirmed."""
    coach.office.run('title: Under water\npool: 25 m\n\n4 x 25 free "no breath to the flags", on 1:00\n')


BROKEN = """\
title: Half written
pool: 25 m
booking: 60 min

Warm-up, easy
  300 choise
  4 x 50 kick, rest 0:15

Main set, 1 to 4 rounds
  4 x 100 free on 1.30
  200 as 50 drill / 75 back, on 4:00
"""


def card(coach, name="long-axis-rotation-3"):
    """One plan of the shelf."""
    coach.office.home()
    coach.frame()
    coach.page.press(f"plan {name}")


def on_card(*names):
    """A plan's card after these presses."""

    def arrive(coach):
        card(coach)
        for name in names:
            coach.page.card.press(name)

    return arrive


def editor(coach, name="long-axis-rotation-3"):
    """A plan to be written, its totals worked out."""
    coach.office.write(name)
    page = coach.page
    page.until_rest.cancel()
    from pacer.face.editor.pageresults import WorkedOut, worked_out

    plan = page.reading.plan
    page.take_results(page.draft.edits, worked_out(plan, page.squad) if plan is not None else WorkedOut())


OVER = """\
title: Thursday
pool: 25 m
booking: 60 min

Warm-up, run on
  400 choice
  4x50 kick, rest 0:15
Main set, run on
  8 x 100 free, on 1:45 / 1:55 / 2:05 / 2:15 / 2:30
  6 x 200 pull, with paddles, rest 0:20
Cool-down
  200 easy"""


def over(coach):
    """A plan that lasts longer than its booking, written with letters along the foot."""
    from pacer.face.editor.pageresults import worked_out
    from pacer.timeline.checks.shortening import ways_to_fit

    editor(coach, coach.office.shelf.add(OVER).name)
    page = coach.page
    page.go_to(len(page.draft.lines) - 1, 10)
    page.press("letters")
    found = worked_out(page.reading.plan, page.squad)
    page.take_results(page.draft.edits, replace(found, shorter=ways_to_fit(found.timeline)))
    page.remarks.settle()


def in_a_set(coach):
    """A plan with the cursor in the set that its rounds begin with, as soon as a finger has put it there."""
    editor(coach)
    row = next(row for row, line in enumerate(coach.page.draft.lines) if line.lstrip().startswith("200 as"))
    coach.page.go_to(row)


def broken(coach):
    """A plan with mistakes."""
    editor(coach, coach.office.shelf.add(BROKEN).name)


def writing(coach):
    """The same, the cursor in a line that can't be read."""
    broken(coach)
    coach.page.go_to(9, 20)
    for _ in range(8):
        coach.page.remarks.try_next()
    coach.page.remarks.settle()


def with_letters(coach):
    """A plan that is written with letters along the foot."""
    writing(coach)
    coach.page.press("letters")


def mistyped(coach):
    """A line now, typed with a mistake."""
    line_now(coach)
    page = coach.page
    page.press("type")
    page.pane.choose_all()
    page.pane.write("10 x 100 fre on 1:40")
    for _ in range(8):
        page.remarks.try_next()
    page.remarks.settle()


def searched(coach, words="kick"):
    """The shelf, searched."""
    coach.office.home()
    coach.frame()
    coach.page.press("search")
    coach.page.search.write(words)


def put_away(coach):
    """The plans put away."""
    coach.office.home()
    coach.office.shelf.put_away(coach.office.shelf.copy("long-axis-rotation-2").name)
    coach.page.press("away")


def line_now(coach):
    """A line now."""
    coach.office.quick_set()


COPIED = """\
Tuesday club night
WU: 400 choice
  4 x 50 drill/swim by 25, rest 15

Main
- 8 x 100 @ 1:45  = 900
- 4 x 50 kick }
- 4 x 50 swim } x2
- 100 easy }

200 backstroke with the longest arms that anybody can have, all the way to the wall and back, as if it were nothing
4 x 50 frim the blocks
"""


def copied(coach):
    """The shelf, a page on the clipboard pasted."""
    from unittest.mock import patch

    coach.office.home()
    coach.frame()
    with patch("pacer.face.shelf.shelfpage.pasted", lambda: COPIED):
        coach.page.press("paste")


def answered(coach):
    """The same after an answer."""
    copied(coach)
    coach.page.card.press(f"answer {coach.page.card.page.questions[0]} 0")


#: Name to how to get there. Each shows other words.
def log(coach):
    """The log, with one session in it."""
    coach.office.quick_set()
    coach.frame()
    coach.page.press("run")
    coach.go(20_000, 5_000)
    shell = coach.shell
    shell.driver.do(shell.driver.pause())
    coach.frame(1_000)
    shell.driver.do(shell.driver.end())
    coach.frame(1_000)
    coach.office.log()


def left_running(coach):
    """Home, while a session is running that nobody looks at."""
    coach.office.quick_set()
    coach.frame()
    coach.page.press("run")
    coach.go(20_000, 5_000)
    coach.office.home()


def another_copy(coach):
    """A session that another copy of the app has."""
    left_running(coach)
    lock = coach.office.store.claim()
    coach.office.go_on()
    lock.close()


def review(*names):
    """A session looked back on, after these presses."""

    def arrive(coach):
        from tests.face.review.scene import look_back

        look_back(coach)
        for name in names:
            coach.page.press(name)
            coach.frame(20)

    return arrive


def series(*names):
    """The demo series, three sessions swum and one to come, after these presses."""

    def arrive(coach):
        from tests.face.review.seriesscene import TUESDAY_MS, keep_series_once

        coach.wall_ms = TUESDAY_MS
        keep_series_once(coach.home)
        coach.office.log()
        coach.frame()
        coach.page.press("series")
        for _ in range(20):
            coach.frame(20)
        for name in names:
            coach.page.press(name)
            coach.frame(20)

    return arrive


def moving(coach):
    """Export and import, names going along."""
    log(coach)
    coach.office.move()
    coach.page.press("names")


def moved(coach):
    """What came of an import, with another version of a plan."""
    from pacer.review.exports.archivecontent import TabletTexts
    from pacer.review.exports.tabletarchive import export_archive
    from pacer.review.exports.textcounts import Texts
    from pacer.show.after.tabletexports import imported

    coach.office.move()
    plan = coach.office.shelf.text("long-axis-rotation-3")
    texts = TabletTexts(Texts({"long-axis-rotation-3": plan + "\n", "sprints": plan}), Texts(), Texts())
    coach.page.pressed = "import"
    coach.page.said = imported(coach.office.store, export_archive([], texts, True))
    coach.page.lay_out()


def entering(*names):
    """The page to enter times on, after these presses."""

    def arrive(coach):
        from tests.face.review.scene import look_back

        look_back(coach)
        coach.office.enter(coach.page.lookback.reading.review.listed.number)
        coach.frame()
        for name in names:
            coach.page.press(name)
            coach.frame(20)

    return arrive


def season(*names):
    """The demo series in its season, the next page planned for Thursday, after these presses."""

    def arrive(coach):
        from tests.face.review.seriesscene import TUESDAY_MS, dated_plan, keep_series_once

        coach.wall_ms = TUESDAY_MS
        keep_series_once(coach.home)
        coach.office.shelf.add(dated_plan())
        coach.office.log()
        coach.frame()
        coach.page.press("season")
        for _ in range(20):
            coach.frame(20)
        for name in names:
            coach.page.press(name)
            coach.frame(20)

    return arrive


CSV = b"Bib,Name,Time\n4,Wren,1:22.1\n7,Ash,1:25.0\n"


def from_a_file(coach):
    """A file of times was chosen."""
    entering("lane 2", "set 2")(coach)
    coach.page.chosen(CSV, "thursday evening.csv")


def new_entry(coach):
    """A session that ran without pacer."""
    coach.office.enter_session()


def drill_book(coach):
    """The drill book."""
    coach.office.drill_book()


def other_drill_book(coach):
    """The book of another tablet, with one drill more and one that differs."""
    book = coach.office.drills.text.replace("Six kicks on one side", "Eight kicks on one side", 1)
    more = '\n[[drill]]\nname = "zipper"\nhow = "Thumb up the side to the armpit, elbow high."\n'
    (coach.office.folder / "drills-12345678.toml").write_text(book + more)
    drill_book(coach)


def swimmers_from_a_file(coach):
    """A list of swimmers with a column that pacer does not know."""
    squad(coach)
    coach.page.press("squads")
    coach.page.list.take_list(b"Name,Age,400\nKit Marsh,9,5:40\nAsh Weir,10,6:02\nWren Low,9,6:30\n", "Juniors.csv")
    coach.page.lay_out()


PAGES = {
    "swimmers from a file": swimmers_from_a_file,
    "drill book": drill_book,
    "two drill books": other_drill_book,
    "the other drill book": pressed("other drills-12345678", first=other_drill_book),
    "a drill": pressed("drill 1", first=drill_book),
    "a drill's field": pressed("drill 1", "field how", first=drill_book),
    "enter": entering(),
    "enter main set": entering("lane 2", "set 2"),
    "enter a time": entering("lane 2", "set 2", "swim 1 3"),
    "a column": from_a_file,
    "placed times": pressed("means skip", first=from_a_file),
    "which plan": new_entry,
    "which day": pressed("plan 1", first=new_entry),
    "moving": moving,
    "moved": moved,
    "pasted": copied,
    "pasted answered": answered,
    "first": lambda coach: coach.office.welcome(),
    "first base": pressed("lanes 5", "base 0", first=lambda coach: coach.office.welcome()),
    "left running": left_running,
    "another copy": another_copy,
    "log": log,
    "a session": lambda coach: (
        log(coach),
        coach.page.press(next(tile.name for tile in coach.page.board.tiles if tile.name)),
    ),
    "home": lambda coach: coach.office.home(),
    "closing": lambda coach: (coach.office.home(), coach.page.press("leave")),
    "squad": squad,
    "lanes": pressed("all lanes"),
    "one lane": a_lane,
    "base": pressed("base"),
    "wrong base": pressed("base", "pad 1", "pad 9", "pad 9"),
    "rounds": pressed("grip 0", "rounds"),
    "group": pressed("group"),
    "named": pressed("lane 2", "name 1"),
    "lane sheet": pressed("grip 1"),
    "swimmer sheet": pressed("swimmer 1", first=a_lane),
    "typed tests": pressed("lane 4", "swimmer 0", "typed tests"),
    "a typed time": pressed("lane 4", "swimmer 0", "typed tests", "distance 800"),
    "a doubtful test": pressed(
        "lane 4",
        "swimmer 0",
        "typed tests",
        "distance 100",
        *(f"pad {key}" for key in "021.7"),
        "take time",
        "take base",
    ),
    "proposal": pressed("propose"),
    "no proposal": pressed("propose", "lanes 1"),
    "squads": pressed("squads"),
    "names go out": pressed("squads", "give out"),
    "told": lambda coach: (
        squad(coach),
        coach.page.tell(
            "The squad can't be saved: the tablet's storage is full. You will lose this change when the app closes.",
            "the squad can't be saved: the tablet's storage is full",
        ),
    ),
    "test swims": test_swims,
    "waiting": waiting,
    "leaving": leaving,
    "one in": one_in,
    "all in": all_in,
    "new bases": new_bases,
    "break off": pressed("break", first=leaving),
    "settings": settings,
    "distance": pressed("distance more", first=settings),
    "volume": pressed("volume less", first=settings),
    "own pool": pressed("other pool", first=settings),
    "copy": pressed("copy", first=settings),
    "card": card,
    "renamed": on_card("title"),
    "another pool": on_card("pool"),
    "rewritten": on_card("pool", "pool 50 m"),
    "searched": searched,
    "nothing found": lambda coach: searched(coach, "kickboard relay"),
    "put away": put_away,
    "editor": editor,
    "in a set": in_a_set,
    "mistakes": broken,
    "list": lambda coach: (broken(coach), coach.page.press("list")),
    "over the booking": over,
    "over the booking, checks": lambda coach: (over(coach), coach.page.press("list")),
    "checks": lambda coach: (editor(coach), coach.page.press("list")),
    "writing": writing,
    "with letters": with_letters,
    "mistyped": mistyped,
    "line now": line_now,
    "typed line": pressed("type", first=line_now),
    "tight line": pressed("leave on 1:40", "run", first=line_now),
    "cautions in brief": pressed("own", first=lambda coach: coach.office.welcome()),
    "cautions": lambda coach: coach.office.cautions(),
    "ready": ready,
    "ready, a short plan": ready_short,
    "flagged": flagged,
    "heads": heads,
    "a count": lambda coach: (heads(coach), coach.page.press("other")),
    "counted": counted,
    "review": review(),
    "review sets": review("sets", "lane 2", "set 1"),
    "review session": review("session"),
    "review swimmers": review("swimmers"),
    "series": series(),
    "series cell": series("cell 5 3"),
    "next page": series("next"),
    "next page less": series("next", "step 2", "step 3"),
    "calendar": season(),
    "calendar day": season("day 2026-03-26"),
    "season totals": season("totals"),
    "season bases": season("bases", "swimmer Greta"),
    "review history": review("swimmers", "swimmer Orla"),
}
