"""Texts in another language: which catalogue is found, how values are filled in, and what a wrong translation does."""

from __future__ import annotations

import importlib
import io

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo

import pacer.language
import pacer.shippedfiles


@pytest.fixture
def spoken(tmp_path, monkeypatch):
    """The language module as it is after a start with this catalogue, in a language asked for by `LANGUAGE`."""

    def start(texts: dict, asked: str = "de_AT:fr", there: str = "de", damage: bytes = b""):
        made = Catalog(locale=there)
        for text, told in texts.items():
            made.add(text, told)
        out = io.BytesIO()
        write_mo(out, made)
        place = tmp_path / there / "LC_MESSAGES"
        place.mkdir(parents=True)
        (place / "pacer.mo").write_bytes(damage + out.getvalue()[len(damage) :])
        monkeypatch.setattr(pacer.shippedfiles, "LANGUAGES", tmp_path)
        monkeypatch.setenv("LANGUAGE", asked)
        return importlib.reload(pacer.language)

    yield start
    monkeypatch.undo()
    importlib.reload(pacer.language)


def test_a_text_is_said_in_the_language_that_the_environment_asks_for(spoken):
    language = spoken({"Start": "Los", "lane {number}": "Bahn {number}"})
    assert (language.tr("Start"), language.tr("lane {number}", number=3)) == ("Los", "Bahn 3")
    assert language.tr("Pause") == "Pause", "what has no translation stays English"


@pytest.mark.parametrize("asked", ["", "fr", "C"])
def test_without_a_catalogue_for_it_all_is_english(spoken, asked, monkeypatch):
    for name in ("LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(name, raising=False)
    language = spoken({"Start": "Los"}, asked)
    assert language.tr("Start") == "Start" and language.tr_n("{n} lane", "{n} lanes", 2) == "2 lanes"


def test_one_and_many_follow_the_rule_of_the_language(spoken):
    texts = {("{n} lane", "{n} lanes"): ("{n} tor", "{n} tory", "{n} torów")}
    language = spoken(texts, "pl", "pl")
    assert [language.tr_n("{n} lane", "{n} lanes", n) for n in (1, 2, 5)] == ["1 tor", "2 tory", "5 torów"]


@pytest.mark.parametrize(
    "wrong", ["Bahn {nummer}", "Bahn {number", "Bahn {number.first}", "Bahn {0}", "Bahn {number:q}"]
)
def test_a_wrong_field_in_a_translation_never_stops_a_session(spoken, wrong):
    assert spoken({"lane {number}": wrong}).tr("lane {number}", number=3) == "lane 3"


@pytest.mark.parametrize("damage", [b"PK", b"\xde\x12\x04\x95" + 20 * b"\xff"])
def test_a_damaged_catalogue_leaves_all_english(spoken, damage):
    assert spoken({"Start": "Los"}, damage=damage).tr("Start") == "Start"


def test_braces_in_a_text_without_values_are_only_braces():
    assert pacer.language.tr('tests = { "200" = "2:40" }') == 'tests = { "200" = "2:40" }'
    assert pacer.language.tr("write {{ for {what}", what="a brace") == "write { for a brace"
