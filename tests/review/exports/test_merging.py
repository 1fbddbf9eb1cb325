"""Two tablets' archives make one log, imported in any order: the same bytes, nothing lost or doubled."""

from __future__ import annotations

import random
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.review.exports.archive import archive_bytes
from pacer.review.exports.archivecontent import archive_files
from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.textmerge import marked, new_texts
from pacer.session.journal.entries import SwimmerJoined
from pacer.session.journal.jsonlines import WORDS, line_from_entry
from pacer.session.journal.recordentries import Hidden, Noted, ShownAgain
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import Row, joined, rows_of
from pacer.session.storage.store import Store
from pacer.squad.files.withoutnames import without_names
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
    (Noted(9, "b"), Hidden(9)),
    (Noted(9, "b"), Hidden(9), ShownAgain(9), Hidden(9)),
]


class Tablet:
    """A store and its texts."""

    def __init__(self, folder, sessions=(), plans=None, squads=None):
        self.store = Store(folder)
        self.store.open()
        take_in(self.store, sessions)
        self.plans, self.squads = dict(plans or {}), dict(squads or {})

    def exports(self, names=True):
        listed = [*self.store.sessions(), *self.store.sessions(hidden=True)]
        kept = [self.store.session(one.number) for one in listed]
        return archive_bytes(archive_files(kept, self.plans, self.squads, {}, names), {"names": names})

    def imports(self, data):
        archive = read_archive(data)
        taken = take_in(self.store, archive.sessions)
        self.plans |= new_texts(self.plans, archive.plans)
        self.squads |= new_texts(self.squads, archive.squads, without_names)
        return taken


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


def test_texts_that_differ_are_both_kept_and_named():
    assert new_texts({"thursday": "a"}, {"thursday": "b"}) == {"thursday-3e23e816": "b"}
    assert new_texts({"thursday": "a"}, {"thursday": "a", "monday": "c"}) == {"monday": "c"}
    ours, theirs = {"thursday": "a", "thursday-3e23e816": "b"}, {"thursday": "b", "thursday-ca978112": "a"}
    assert marked(ours) == marked(theirs) == {"thursday-ca978112": "a", "thursday-3e23e816": "b"}
    assert new_texts(ours, marked(theirs)) == {}
