"""Two tablets' archives make one log, imported in any order: the same bytes, nothing lost or doubled."""

from __future__ import annotations

import contextlib
import random
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import ClassVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.plan.textmark import place_for
from pacer.review.exports.archivecontent import BARE
from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.archivezip import archive_bytes
from pacer.review.exports.lastexchange import came_on, renamed_plan
from pacer.review.exports.tabletarchive import import_archive
from pacer.review.exports.textcounts import Texts, with_plain_counts
from pacer.review.exports.textmerge import marked, merge_texts
from pacer.session.journal.entries import SwimmerJoined
from pacer.session.journal.jsonlines import WORDS, line_from_entry
from pacer.session.journal.recordentries import Hidden, LeftOut, Noted, PutBack, ShownAgain
from pacer.session.storage.deleting import delete
from pacer.session.storage.hiding import hide, show_again
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import Row, joined, rows_of
from pacer.session.storage.store import Store, StoreTrouble
from pacer.shippedfiles import PLANS, SQUADS
from pacer.show.after.tabletexports import archive, changes_said, rename_plan
from pacer.squad.files.drillreader import read_drills
from pacer.squad.files.withoutnames import without_names
from pacer.squad.register.otherdrillbooks import hide_book, other_books, show_book, with_drills
from tests.review.exports.test_exports import PLAN, SQUAD
from tests.review.made import S, noisy, timed
from tests.session.pages import session

TIMELINE = session(PLAN, SQUAD)


def evening(seed, begun_ms, *more):
    """A session with its own times and its own start."""
    made = timed(TIMELINE, noisy(random.Random(seed), 0.05), *more)
    entries = [replace(e, wall_ms=begun_ms) if n == 0 else e for n, e in enumerate(made.journal)]
    pairs = zip(made.lines, entries)
    lines = [replace(o, entry=e, text=line_from_entry(e), wall_ms=o.wall_ms + begun_ms) for o, e in pairs]
    return rows_of(replace(made, lines=tuple(lines)))


EVENINGS = [
    evening(1, 1_000_000),
    evening(2, 2_000_000, Noted(70 * S, "Kit was late", 0)),
    evening(3, 3_000_000, SwimmerJoined(80 * S, 1, 120 * S, name="Rowan")),
    replace(evening(4, 4_000_000), plan=PLAN + "\nSwim-down\n  100 choice\n", counts="[]"),
]


def cut(rows, entries):
    """The session when only so many entries had been saved."""
    return replace(rows, rows=rows.rows[: max(1, entries)])


def more(rows, *entries):
    """The session with more entries, with the time of the entry before them."""
    for entry in entries:
        last = rows.rows[-1]
        row = Row(last.number + 1, last.wall_ms, WORDS[type(entry)], line_from_entry(entry))
        rows = replace(rows, rows=(*rows.rows, row))
    return rows


#: What a tablet did to a session after it was swum.
AFTERWARDS = [
    (),
    (Hidden(9),),
    (Hidden(9), ShownAgain(9)),
    (Noted(9, "a"),),
    (PutBack(9, 3),),
    (PutBack(9, 3), LeftOut(9, 3), Hidden(9)),
    (Noted(9, "b"), Hidden(9)),
    (Noted(9, "b"), Hidden(9), ShownAgain(9), Hidden(9)),
]


class Tablet:
    """A store and its texts, as files."""

    FOLDERS: ClassVar = {"plans": ("plans", "put-away", ".txt"), "squads": ("squads", "squads-put-away", ".toml")}

    def __init__(self, folder, sessions=(), plans=None, squads=None):
        self.folder = Path(folder)
        self.store = Store(folder)
        self.store.open()
        take_in(self.store, sessions)
        for kind, texts in (("plans", plans or {}), ("squads", squads or {})):
            for name, text in texts.items():
                self.write(kind, name, text)

    def path(self, kind, name, hidden=False):
        if kind == "drills":
            return self.folder / "drills.toml"
        shown, away, suffix = self.FOLDERS[kind]
        return self.folder / (away if hidden else shown) / f"{name}{suffix}"

    def texts(self, kind, hidden=False):
        paths = sorted(self.path(kind, "x", hidden).parent.glob(f"*{self.FOLDERS[kind][2]}"))
        return {path.stem: path.read_text() for path in paths}

    @property
    def plans(self):
        return self.texts("plans")

    @property
    def squads(self):
        return self.texts("squads")

    def write(self, kind, name, text):
        path = self.path(kind, name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)

    def exports(self, names=True):
        return archive(self.store, names)

    def imports(self, data):
        return import_archive(self.store, read_archive(data)).sessions

    # -- what a coach does, one choice each; what is not possible just now does nothing

    def edit(self, kind, name, text):
        """Write a text, or change the one that is there."""
        self.write(kind, name, text)

    def move(self, kind, name, hide):
        """Hide a text or show it again, as the shelf and the list of squads do."""
        if kind == "drills":
            for path in sorted(self.folder.glob("drills-*.toml" if hide else "drills-put-away/*.toml"))[:1]:
                (hide_book if hide else show_book)(self.folder, path.stem)
            return
        start, end = self.path(kind, name, not hide), self.path(kind, name, hide)
        if not start.exists():
            return
        end.parent.mkdir(parents=True, exist_ok=True)
        start.rename(place_for(start, end, getattr(BARE, kind)))

    def only(self, kind):
        (name,) = self.texts(kind)
        return name

    def rename(self, kind, name, title):
        """Give a plan another title, as the shelf does."""
        if self.path(kind, name).exists():
            with contextlib.suppress(ShelfTrouble):
                rename_plan(Shelf(self.folder), name, title)

    def session(self, what, which):
        """Hide a session, show it again, delete it, or take times in it."""
        listed = [*self.store.sessions(), *self.store.sessions(hidden=True)]
        if not listed:
            return
        one = listed[which % len(listed)]
        try:
            match what:
                case "hide":
                    hide(self.store, one.number)
                case "show":
                    show_again(self.store, one.number)
                case "delete":
                    delete(self.store, one.number)
                case "note":
                    kept = self.store.session(one.number)
                    take_in(self.store, [more(rows_of(kept), Noted(9, f"note {which}"))])
        except StoreTrouble:
            pass  # it is not over, or not hidden


sessions_of = st.lists(
    st.tuples(st.sampled_from(range(len(EVENINGS))), st.integers(1, 40), st.sampled_from(AFTERWARDS)), max_size=3
)
whole_sessions = st.lists(
    st.tuples(st.sampled_from(range(2)), st.sampled_from([5, 40]), st.sampled_from(AFTERWARDS)), max_size=3
)
texts_of = st.dictionaries(st.sampled_from(["thursday", "monday"]), st.sampled_from(["a", "b", "c"]), max_size=2)
squads_of = st.dictionaries(
    st.sampled_from(["masters", "juniors"]),
    st.sampled_from([SQUAD, without_names(SQUAD), SQUAD.replace("1:20", "1:21")]),
    max_size=2,
)


def some(chosen):
    return [more(cut(EVENINGS[which], entries), *after) for which, entries, after in chosen]


@settings(max_examples=15, deadline=None)
@given(sessions_of, sessions_of, texts_of, texts_of, squads_of, squads_of, st.booleans())
def test_either_way_makes_the_same_bytes(one, two, plans_a, plans_b, squads_a, squads_b, names):
    with tempfile.TemporaryDirectory() as folder:
        a = Tablet(Path(folder) / "a", some(one), plans_a, squads_a)
        b = Tablet(Path(folder) / "b", some(two), plans_b, squads_b)
        from_a, from_b = a.exports(names), b.exports(names)
        a.imports(from_b)
        b.imports(from_a)
        for which in (True, False) if names else (False,):
            assert a.exports(which) == b.exports(which)
        again = a.imports(b.exports(names))
        assert again[:2] == (0, 0) or not names
        assert a.exports(False) == b.exports(False)


@settings(max_examples=25, deadline=None)
@given(st.lists(whole_sessions, min_size=3, max_size=3), st.permutations(range(3)), st.booleans())
def test_three_tablets_agree_whatever_the_order_also_on_what_is_hidden(stores, order, names):
    """Merging is commutative, associative and idempotent: tablets that have seen the same archives are the same."""
    with tempfile.TemporaryDirectory() as folder:
        one, two, three = (Tablet(Path(folder) / str(n), some(chosen)) for n, chosen in enumerate(stores))
        archives = [tablet.exports(names) for tablet in (one, two, three)]
        in_order, other_order, by_pairs = (Tablet(Path(folder) / name) for name in ("x", "y", "z"))
        for place in range(3):
            in_order.imports(archives[place])
            other_order.imports(archives[order[place]])
        two.imports(archives[2])
        by_pairs.imports(two.exports(names))
        by_pairs.imports(archives[0])
        wanted = in_order.exports(names)
        assert other_order.exports(names) == by_pairs.exports(names) == wanted
        assert in_order.imports(wanted)[:2] == (0, 0) and in_order.exports(names) == wanted
        shown = {rows_of(in_order.store.session(one.number)).rows for one in in_order.store.sessions()}
        for mine in shown:
            assert mine[-1].kind != "hidden"
        for listed in in_order.store.sessions(hidden=True):
            gone = rows_of(in_order.store.session(listed.number)).rows
            assert not any(mine == gone[: len(mine)] for mine in shown), "hidden, and back as an earlier copy"


def test_export_and_import_lose_nothing(tmp_path):
    a = Tablet(tmp_path / "a", EVENINGS, {"thursday": PLAN}, {"masters": SQUAD})
    b = Tablet(tmp_path / "b")
    assert b.imports(a.exports()) == (4, 0, 0)
    assert [rows_of(b.store.session(n)) for n in range(1, 5)] == EVENINGS
    assert (b.plans, b.squads) == (a.plans, a.squads)
    assert b.imports(a.exports()) == (0, 0, 4)
    for listed in b.store.sessions():
        assert not b.store.session(listed.number).lost
        assert listed.begun_ms is not None and listed.ended_ms is not None


def test_leaving_names_out_does_not_make_a_second_session(tmp_path):
    a = Tablet(tmp_path / "a", EVENINGS, squads={"masters": SQUAD})
    b = Tablet(tmp_path / "b")
    assert b.imports(a.exports(names=False)) == (4, 0, 0)
    assert "Kit" not in str([rows_of(b.store.session(n)) for n in range(1, 5)])
    assert a.imports(b.exports()) == (0, 0, 4) and a.squads == {"masters": SQUAD}
    assert b.imports(a.exports()) == (0, 4, 0)
    assert [rows_of(b.store.session(n)) for n in range(1, 5)] == EVENINGS and b.squads == a.squads


def test_the_longer_journal_counts(tmp_path):
    a, b = Tablet(tmp_path / "a", [cut(EVENINGS[0], 5)]), Tablet(tmp_path / "b", [EVENINGS[0]])
    assert a.imports(b.exports()) == (0, 1, 0) and b.imports(a.exports()) == (0, 0, 1)
    assert len(a.store.sessions()) == 1 and rows_of(a.store.session(1)) == EVENINGS[0]


def test_journals_that_differ_are_two_sessions():
    one, other = EVENINGS[0], EVENINGS[0].rows
    parted = replace(one, rows=(*other[:5], other[5]._replace(wall_ms=1), *other[6:]))
    assert joined(one, parted) is None and joined(one, cut(one, 7)) == joined(cut(one, 7), one) == one
    assert joined(one, replace(one, plan="x")) is None and joined(one, replace(one, rows=())) is None


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 0, 2)])
def test_three_tablets_in_any_order(tmp_path, order):
    kept = [[(0, 3, ())], [(0, 9, ()), (1, 4, ())], [(1, 40, ())]]
    tablets = [Tablet(tmp_path / str(n), some(chosen)) for n, chosen in enumerate(kept)]
    archives = [tablet.exports() for tablet in tablets]
    sink = Tablet(tmp_path / "sink")
    for place in order:
        sink.imports(archives[place])
    wanted = {cut(EVENINGS[1], 40).rows, cut(EVENINGS[0], 9).rows}
    assert {rows_of(sink.store.session(listed.number)).rows for listed in sink.store.sessions()} == wanted


def merged(ours, theirs):
    return merge_texts(with_plain_counts(Texts(ours)), with_plain_counts(Texts(theirs)))


def test_texts_that_differ_are_both_kept_and_named():
    made = merged({"thursday": "a"}, {"thursday": "b"})
    assert made.texts.shown == {"thursday": "a", "thursday-3e23e816": "b"} and made.new == ("thursday-3e23e816",)
    assert made.other == (("thursday", "thursday-3e23e816"),)
    assert merged({"thursday": "a"}, {"thursday": "a", "monday": "c"}).new == ("monday",)
    ours, theirs = {"thursday": "a", "thursday-3e23e816": "b"}, {"thursday": "b", "thursday-ca978112": "a"}
    assert marked(ours) == marked(theirs) == {"thursday-ca978112": "a", "thursday-3e23e816": "b"}
    assert merged(ours, marked(theirs)).texts.shown == ours


# -- what was changed, hidden or deleted -------------------------------------------------------------------

NAMELESS = without_names(SQUAD)
OTHER_BASE = SQUAD.replace("1:20", "1:21")
NO_KIT = SQUAD.replace('  name = "=cmd|Kit"\n', "")
BOOKS = [f'[[drill]]\nname = "{name}"\nhow = "b"\n' for name in "ab"]
some_text = st.one_of(
    st.tuples(st.just("plans"), st.sampled_from(["thursday", "Monday"]), st.sampled_from(["a", "b", "a # Kit"])),
    st.tuples(st.just("squads"), st.sampled_from(["masters", "juniors"]), st.sampled_from([SQUAD, OTHER_BASE, NO_KIT])),
    st.tuples(st.just("drills"), st.just("drills"), st.sampled_from(BOOKS)),
)
names_of = st.one_of(
    st.tuples(st.just("plans"), st.sampled_from(["thursday", "monday", "Monday", "thursday-2"])),
    st.tuples(st.just("squads"), st.sampled_from(["masters", "juniors"])),
    st.just(("drills", "drills")),
)
acts = st.one_of(
    some_text.map(lambda one: ("edit", *one)),
    st.tuples(names_of, st.booleans()).map(lambda one: ("move", *one[0], one[1])),
    st.tuples(
        st.just("rename"),
        st.just("plans"),
        st.sampled_from(["thursday", "monday", "friday"]),
        st.sampled_from(["Friday", "a"]),
    ),
    st.tuples(st.just("session"), st.sampled_from(["hide", "show", "delete", "note"]), st.integers(0, 3)),
    st.just(("export",)),
    st.tuples(st.just("import"), st.integers(0, 2)),
)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 2), acts), max_size=14),
    st.permutations(range(3)),
    st.lists(whole_sessions, min_size=3, max_size=3),
    st.booleans(),
)
def test_three_tablets_agree_whatever_was_changed_hidden_or_deleted(steps, order, stores, names):
    with tempfile.TemporaryDirectory() as folder:
        tablets = [Tablet(Path(folder) / str(n), some(chosen)) for n, chosen in enumerate(stores)]
        for which, (what, *how) in steps:
            if what == "import":
                tablets[which].imports(tablets[how[0]].exports(names))
            elif what == "export":
                tablets[which].exports(names)
            else:
                getattr(tablets[which], what)(*how)
        archives = [tablet.exports(names) for tablet in tablets]
        in_order, other_order = Tablet(Path(folder) / "x"), Tablet(Path(folder) / "y")
        for place in range(3):
            in_order.imports(archives[place])
            other_order.imports(archives[order[place]])
        wanted = in_order.exports(names)
        assert other_order.exports(names) == wanted
        in_order.imports(wanted)
        assert in_order.exports(names) == wanted, "importing one's own changes nothing"
        for tablet in (*tablets, *tablets):
            for data in archives:
                tablet.imports(data)
        for tablet in tablets:
            assert tablet.exports(False) == in_order.exports(False)
            assert not names or tablet.exports() == wanted


def two_in_step(folder, **texts):
    """Two tablets with the same content."""
    a, b = Tablet(folder / "a", **texts), Tablet(folder / "b")
    b.imports(a.exports())
    return a, b


def test_a_plan_changed_on_one_tablet_is_changed_on_the_other(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "a"}, squads={"masters": SQUAD})
    a.edit("plans", "thursday", "b")
    a.edit("squads", "masters", OTHER_BASE)
    made = import_archive(b.store, read_archive(a.exports()))
    assert (b.plans, b.squads) == ({"thursday": "b"}, {"masters": OTHER_BASE})
    assert (
        made.texts.plans.newer == ("thursday",) and made.texts.squads.newer == ("masters",) and not made.texts.plans.new
    )
    assert (b.folder / "earlier" / "thursday.txt").read_text() == "a", "the earlier version can be had again"
    a.imports(b.exports())
    assert a.plans == b.plans and a.exports() == b.exports()


def test_a_plan_changed_on_both_is_there_twice_and_the_old_version_is_gone(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "old"})
    a.edit("plans", "thursday", "a")
    b.edit("plans", "thursday", "b")
    b.imports(a.exports())
    a.imports(b.exports())
    assert b.plans == {"thursday": "b", "thursday-ca978112": "a"}
    assert a.plans == {"thursday": "a", "thursday-3e23e816": "b"} and a.exports() == b.exports()
    a.move("plans", "thursday-3e23e816", True)
    b.imports(a.exports())
    assert b.plans == {"thursday-ca978112": "a"} and b.texts("plans", hidden=True) == {"thursday": "b"}


def test_a_name_deleted_on_one_tablet_does_not_come_back_from_the_other(tmp_path):
    a, b = two_in_step(tmp_path, squads={"masters": SQUAD})
    a.edit("squads", "masters", NO_KIT)
    a.exports()
    a.imports(b.exports())
    assert a.squads == {"masters": NO_KIT}
    b.imports(a.exports(names=False))
    assert b.squads == {"masters": SQUAD}, "an archive without names says nothing about names"
    b.imports(a.exports())
    assert b.squads == {"masters": NO_KIT} and a.exports() == b.exports()


def test_hidden_and_shown_again_goes_along(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "a"})
    for hide_it in (True, False, True):
        a.move("plans", "thursday", hide_it)
        b.imports(a.exports())
        assert b.plans == ({} if hide_it else {"thursday": "a"})
        assert b.texts("plans", hidden=True) == ({"thursday": "a"} if hide_it else {})


@pytest.mark.parametrize("names", [True, False])
@pytest.mark.parametrize("order", [(0, 1, 2), (0, 2, 1), (2, 0, 1)])
def test_one_text_under_two_names_is_two_texts_of_which_one_can_be_hidden(tmp_path, order, names):
    a, b, empty = Tablet(tmp_path / "a", squads={"masters": SQUAD}), Tablet(tmp_path / "b"), Tablet(tmp_path / "c")
    b.edit("squads", "juniors", SQUAD)
    b.move("squads", "juniors", True)
    archives = [tablet.exports(names) for tablet in (a, b, empty)]
    sink = Tablet(tmp_path / "sink")
    for place in order:
        sink.imports(archives[place])
    text = SQUAD if names else NAMELESS
    made = sink.exports(names)
    assert (sink.squads, sink.texts("squads", hidden=True)) == ({"masters": text}, {"juniors": text})
    sink.imports(made)
    assert sink.exports(names) == made and sink.texts("squads", hidden=True) == {"juniors": text}


def test_a_plan_hidden_beside_another_one_of_its_name_stays_the_same_plan(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "a"})
    a.move("plans", "thursday", True)
    a.edit("plans", "thursday", "b")
    b.imports(a.exports())
    shelf = Shelf(a.folder)
    assert shelf.put_away("thursday") == "thursday-3e23e816"
    for tablet in (a, b):
        tablet.imports(a.exports())
        tablet.imports(tablet.exports())
        assert sorted(tablet.texts("plans", hidden=True).values()) == ["a", "b"] and not tablet.plans
    assert a.exports() == a.exports() == b.exports()


def test_a_plan_renamed_on_one_tablet_is_renamed_on_the_other(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "title: Thursday\n\n100"})
    before = a.plans["thursday"]
    for title in ("Friday", "Saturday"):
        a.rename("plans", a.only("plans"), title)
        a.exports()
    a.edit("plans", "saturday", f"{a.plans['saturday']} free")
    made = import_archive(b.store, read_archive(a.exports())).texts.plans
    assert a.plans == b.plans == {"saturday": "title: Saturday\n\n100 free"} and not b.texts("plans", hidden=True)
    assert made.renamed == (("thursday", before, "saturday"),) and not (made.new or made.hid or made.newer)
    assert (b.folder / "earlier" / "saturday.txt").read_text() == before
    a.imports(b.exports())
    assert a.exports() == b.exports()


def test_a_plan_renamed_on_one_tablet_and_changed_on_the_other_is_said_to_be_both(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "title: Thursday\n\n100"})
    a.rename("plans", "thursday", "Endurance")
    b.edit("plans", "thursday", "title: Thursday\n\n100 free")
    theirs = a.exports()
    for tablet, data in ((a, b.exports()), (b, theirs)):
        made = import_archive(tablet.store, read_archive(data))
        assert made.texts.plans.parted == (("thursday", "endurance"),)
        assert changes_said(made, "")[-1] == (
            "Endurance was Thursday until it was renamed on one tablet; "
            "Thursday was changed on the other, so both are here."
        )
    assert a.plans == b.plans and len(a.plans) == 2


def test_which_of_two_versions_came_from_the_other_tablet_is_remembered(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "title: Thursday\n\n100"})
    a.edit("plans", "thursday", "title: Thursday\n\n200")
    b.edit("plans", "thursday", "title: Thursday\n\n300")
    made = import_archive(a.store, read_archive(b.exports()), "2026-03-22").texts.plans
    ((_, other),) = made.other
    assert came_on(a.folder)["plans"] == {other: "2026-03-22"} and "300" in a.plans[other]
    a.exports()
    assert came_on(a.folder)["plans"] == {other: "2026-03-22"}
    renamed_plan(a.folder, other, "theirs")
    assert came_on(a.folder)["plans"] == {"theirs": "2026-03-22"}
    a.exports()  # there is no such file
    assert came_on(a.folder)["plans"] == {}


def test_a_changed_demo_replaces_an_unchanged_one_on_a_new_tablet(tmp_path):
    plan, other = (path.read_text() for path in sorted(PLANS.glob("*.txt"))[:2])
    names = [path.stem for path in sorted(PLANS.glob("*.txt"))[:2]]
    squad = (SQUADS / "thursday.toml").read_text()
    a, b = (Tablet(tmp_path / name, plans=dict(zip(names, (plan, other))), squads={"thursday": squad}) for name in "ab")
    a.edit("plans", names[0], plan + "\n  100 choice")
    a.rename("plans", names[1], "Ours")
    a.edit("squads", "thursday", SQUAD)
    b.imports(a.exports())
    assert b.plans == a.plans and sorted(b.plans) == [names[0], "ours"]
    assert b.squads == {"thursday": SQUAD} and a.exports() == b.exports()


def test_a_plan_renamed_on_both_is_there_twice(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "title: Thursday\n\n100"})
    a.rename("plans", "thursday", "Friday")
    b.rename("plans", "thursday", "Saturday")
    b.imports(a.exports())
    a.imports(b.exports())
    assert sorted(a.plans) == sorted(b.plans) == ["friday", "saturday"] and a.exports() == b.exports()


def test_names_written_here_outlast_a_newer_version_without_them(tmp_path):
    a, b = two_in_step(tmp_path, squads={"masters": SQUAD})
    a.edit("squads", "masters", OTHER_BASE)
    made = import_archive(b.store, read_archive(a.exports(names=False))).texts.squads
    assert b.squads == {"masters": without_names(OTHER_BASE)} and b.texts("squads", hidden=True) == {"masters": SQUAD}
    assert made.newer == made.kept == ("masters",)
    assert a.exports(names=False) == b.exports(names=False), "what only one tablet keeps is in no file"
    b.imports(a.exports())
    assert b.squads == {"masters": OTHER_BASE} and b.texts("squads", hidden=True) == {"masters": SQUAD}
    assert a.exports() == b.exports()


def test_a_name_written_on_one_and_a_pace_on_the_other_are_both_kept(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "a"}, squads={"masters": NO_KIT})
    a.edit("plans", "thursday", "b")
    a.edit("squads", "masters", NO_KIT.replace("1:20", "1:21"))
    b.edit("plans", "thursday", "a # Kit leads")
    b.edit("squads", "masters", SQUAD)
    b.imports(a.exports())
    a.imports(b.exports())
    assert set(a.plans.values()) == set(b.plans.values()) == {"b", "a # Kit leads"}
    assert set(a.squads.values()) == set(b.squads.values()) == {SQUAD, NO_KIT.replace("1:20", "1:21")}
    assert a.exports() == b.exports()


def test_a_second_drill_book_is_taken_over_and_hidden_on_both(tmp_path):
    a, b = Tablet(tmp_path / "a"), Tablet(tmp_path / "b")
    a.write("drills", "drills", BOOKS[0])
    b.write("drills", "drills", BOOKS[1])
    a.imports(b.exports())
    b.imports(a.exports())
    (other,) = other_books(a.folder, read_drills(BOOKS[0]))
    assert [drill.name for drill in other.new] == ["b"] and not other.differ
    text, _ = with_drills(BOOKS[0], other.new)
    a.edit("drills", "drills", text)
    away = hide_book(a.folder, other.name)
    b.imports(a.exports())
    a.imports(b.exports())
    for tablet in (a, b):
        assert [path.name for path in tablet.folder.glob("*.toml")] == ["drills.toml"]
        assert tablet.path("drills", "drills").read_text() == text
        assert [path.read_text() for path in (tablet.folder / "drills-put-away").iterdir()] == [BOOKS[1]]
    assert a.exports() == b.exports()
    show_book(a.folder, away)
    b.imports(a.exports())
    assert sorted(path.read_text() for path in b.folder.glob("*.toml")) == sorted([text, BOOKS[1]])


def test_a_tablet_whose_own_drill_book_was_hidden_has_the_other_one_as_its_own(tmp_path):
    a, b = Tablet(tmp_path / "a"), Tablet(tmp_path / "b")
    a.write("drills", "drills", BOOKS[0])
    b.write("drills", "drills", BOOKS[1])
    a.imports(b.exports())
    b.imports(a.exports())
    (other,) = other_books(a.folder, read_drills(BOOKS[0]))
    hide_book(a.folder, other.name)
    b.imports(a.exports())
    assert [path.name for path in b.folder.glob("*.toml")] == ["drills.toml"] and a.exports() == b.exports()
    assert b.path("drills", "drills").read_text() == BOOKS[0]


def test_an_own_drill_book_that_cannot_be_read_costs_no_other_one(tmp_path):
    a, b = Tablet(tmp_path / "a"), Tablet(tmp_path / "b")
    a.write("drills", "drills", "[[drill]]")
    b.write("drills", "drills", BOOKS[1])
    for _ in range(2):
        a.imports(b.exports())
        assert sorted(path.read_text() for path in a.folder.glob("*.toml")) == ["[[drill]]", BOOKS[1]]


def test_a_file_that_vanished_or_cannot_be_read_is_not_taken_for_deleted(tmp_path):
    a, b = two_in_step(tmp_path, plans={"thursday": "a"}, squads={"masters": SQUAD})
    a.path("plans", "thursday").unlink()
    a.path("squads", "masters").write_bytes(b"\xff\xfe")
    b.imports(a.exports())
    assert b.plans == {"thursday": "a"} and b.squads == {"masters": SQUAD}
    a.imports(b.exports())
    assert a.plans == {"thursday": "a"} and a.path("squads", "masters").read_bytes() == b"\xff\xfe"
    assert len(list((a.folder / "squads").iterdir())) == 2, "what can't be read is not overwritten"


@pytest.mark.parametrize("counts", ["plans,thursday,ca978112,2,0,", "plans,thursday,ca978112,5,0,friday"])
def test_a_forged_count_deletes_nothing(tmp_path, counts):
    """Anybody who has a text can claim that it was replaced; with nothing in its place it is hidden, not lost."""
    a = Tablet(tmp_path / "a", plans={"thursday": "a"})
    forged = archive_bytes({"versions.csv": f"kind,name,mark,count,words,now\r\n{counts}\r\n".encode()})
    a.imports(forged)
    assert a.plans == {} and a.texts("plans", hidden=True) == {"thursday": "a"}
