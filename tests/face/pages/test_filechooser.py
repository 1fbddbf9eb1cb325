"""Files in and out, with choosers that do what those of devices do.

Answer in another thread, with URIs, with nothing, twice, or fail.
"""

import threading

import pytest

from pacer.face.pages import filechooser as files_module
from pacer.plan.library.shelf import Shelf

PLAN = b"title: Brought\npool: 25 m\n\n4 x 100 free, rest 0:15\n"


class Chooser:
    """A device's chooser.

    Answers with `paths` when it is asked, in another thread where `aside`; then returns `gives`.
    """

    def __init__(self, paths=(), gives=None, aside=False, times=1, error=None):
        self.paths, self.gives, self.aside, self.times, self.error, self.asked = paths, gives, aside, times, error, None

    def open_file(self, on_selection, **asked):
        self.asked = asked
        if self.error:
            raise self.error
        for _ in range(self.times):
            if self.aside:
                thread = threading.Thread(target=on_selection, args=(self.paths,))
                thread.start()
                thread.join()
            elif self.paths is not None:
                on_selection(self.paths)
        return self.gives

    save_file = open_file


@pytest.fixture
def bring(whole_window, tmp_path, monkeypatch):
    """Bring in through a chooser on a platform: names on the shelf and what was said, and the shelf."""
    from kivy.base import EventLoop

    def go(chooser, platform="linux", reader=None, **more):
        monkeypatch.setattr(files_module, "open_facade", lambda name: chooser)
        monkeypatch.setattr(files_module, "platform", platform)
        monkeypatch.setattr(files_module, "outside", lambda platform, folder: tmp_path / "outside")
        monkeypatch.setattr(files_module, "by_uri", lambda chooser, most: reader)
        shelf, answers = Shelf(tmp_path / "shelf"), []

        def answer(names, said):
            assert threading.current_thread() is threading.main_thread()
            answers.append((names, said))

        made = files_module.Files(shelf, **more)
        made.bring_in(answer)
        for _ in range(200):
            for thread in threading.enumerate():
                if thread.name == "files":
                    thread.join()
            EventLoop.idle()
            if answers and not any(thread.name == "files" for thread in threading.enumerate()):
                break
        return answers, shelf, made

    return go


def written(tmp_path, name="a plan.txt", data=PLAN):
    path = tmp_path / name
    path.write_bytes(data)
    return str(path)


def test_a_desktops_answer_is_taken_once(bring, tmp_path):
    path = written(tmp_path)
    answers, shelf, _ = bring(Chooser([path], gives=[path], times=2))
    assert answers == [((shelf.cards()[0].name,), "")]
    assert [card.title for card in shelf.cards()] == ["Brought"]


def test_nothing_chosen_is_nothing_told(bring):
    answers, shelf, _ = bring(Chooser(None, gives=None))
    assert answers == [((), "")] and shelf.cards() == ()


def test_androids_uris_are_read_through_the_system_in_whatever_thread_they_come(bring):
    read = {"content://downloads/7": ("thursday.txt", PLAN)}.__getitem__
    chooser = Chooser(["content://downloads/7"], aside=True)
    answers, shelf, _ = bring(chooser, "android", read)
    assert len(answers) == 1 and answers[0][1] == "" and [card.title for card in shelf.cards()] == ["Brought"]
    assert chooser.asked["multiple"]


def refuses(_uri):
    raise OSError(0, "the app that has it won't share it")


@pytest.mark.parametrize(
    ("paths", "reader", "words"),
    [
        (
            ["content://cloud/1"],
            refuses,
            "that file can't be read: the app that has it won't share it; copy its text and press Paste",
        ),
        (
            [[]],
            refuses,
            "that file can't be read: the device doesn't say where the file is; copy its text and press Paste",
        ),
        (
            [None],
            None,
            "that file can't be read: the device doesn't say where the file is; copy its text and press Paste",
        ),
        (
            ["/storage/emulated/0/Download/gone.txt"],
            None,
            "gone.txt can't be read: No such file or directory; copy its text and press Paste",
        ),
    ],
)
def test_what_android_does_not_hand_over_is_told_with_the_other_way(bring, paths, reader, words):
    answers, shelf, _ = bring(Chooser(paths, aside=True), "android", reader)
    assert answers == [((), words)] and shelf.cards() == ()


def test_a_chooser_that_fails_leaves_the_folder_that_others_reach(bring, tmp_path):
    answers, _, _ = bring(Chooser(error=RuntimeError("ActivityNotFoundException")), "android")
    assert (
        len(answers) == 1
        and f"put files into {tmp_path / 'outside' / 'in'}" in answers[0][1]
        and "press Paste" in answers[0][1]
    )
    written(tmp_path / "outside" / "in", "tuesday.txt")
    answers, shelf, _ = bring(None, "android")
    assert answers[0][1].startswith("imported from") and [card.title for card in shelf.cards()] == ["Brought"]


def test_on_android_a_plan_goes_to_the_folder_that_others_reach(bring, tmp_path):
    _, shelf, made = bring(Chooser(None), "linux")
    name = shelf.add(PLAN.decode()).name
    files_module.platform = "android"
    told = []
    made.give_out(name, told.append)
    path = tmp_path / "outside" / "out" / f"{name}.txt"
    assert told == [f"saved as {path}"] and path.read_bytes() == PLAN
