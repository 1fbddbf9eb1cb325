"""Quick marks: a coach's own list, one a line."""

from pacer.show.drive.quickmarks import MARKS, MOST_MARK_LETTERS, marks_from_text, text_from_marks


def test_marks_are_the_coachs_own():
    assert marks_from_text(text_from_marks(MARKS)) == MARKS
    assert all(len(mark) <= MOST_MARK_LETTERS for mark in MARKS) and len(set(MARKS)) == len(MARKS)
    assert marks_from_text("x" * 50 + "\n\n# nothing\n") == ("x" * MOST_MARK_LETTERS,)
    assert len(marks_from_text("\n".join(map(str, range(99))))) == 24
