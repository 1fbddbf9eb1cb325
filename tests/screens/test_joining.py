"""Who may join, and how wrong codes are slowed and shut out."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace

import pytest

from pacer.screens.devices import MOST_DEVICES, MOST_TURNS, Device, Devices, Refusal, for_next_session
from pacer.screens.fromscreens import Join
from pacer.screens.lockout import MOST_WRONG, SHUT_AFTER, SHUT_MS, Lockout
from pacer.screens.screensfile import FILE, KeptScreens, keep_screens, kept_screens, were_on
from pacer.screens.signing import mac_of, new_key

NONCE = "0f" * 16
PHONE, OTHER, THIRD = "0123456789abcdef", "fedcba9876543210", "00000000000000ff"


@pytest.fixture
def devices():
    return Devices()


def by_code(devices, code=None, name=PHONE):
    return Join(1, name, devices.session, code=code or devices.code)


def by_key(devices, key, name=PHONE, nonce=NONCE):
    return Join(1, name, devices.session, mac=mac_of(key, "join", devices.session, name, nonce))


def joined(devices, asked, at_ms=0, address="10.0.0.7", nonce=NONCE):
    return devices.join(asked, nonce, address, at_ms)


def test_by_the_code_it_shows_and_comes_back_by_its_token(devices):
    first = joined(devices, by_code(devices))
    assert first.number == 1 and first.token and not first.key and not first.helps
    back = replace(by_code(devices), code=None, token=first.token)
    assert joined(devices, back) == first
    assert joined(devices, replace(back, token=new_key())) == Refusal("code")


def test_a_key_serves_one_device_and_another_takes_its_place(devices):
    key = devices.key
    first = joined(devices, by_key(devices, key))
    assert first.key == key != devices.key
    assert joined(devices, by_key(devices, key)) == first
    assert joined(devices, by_key(devices, key, OTHER)) == Refusal("used")
    assert joined(devices, by_key(devices, devices.key, OTHER)).number == 2


def test_a_mac_of_another_connection_is_nothing(devices):
    asked = by_key(devices, devices.key)
    assert joined(devices, asked, nonce="f0" * 16) == Refusal("used")


def test_a_device_that_has_a_key_is_not_taken_over_by_the_code(devices):
    joined(devices, by_key(devices, devices.key))
    assert joined(devices, by_code(devices)) == Refusal("used")


def test_a_fresh_key_does_not_give_a_helpers_place_to_who_knows_its_name(devices):
    """The name crosses the network in clear, and anybody near the tablet can scan the code."""
    joined(devices, by_key(devices, devices.key))
    devices.change(PHONE, helps=True, lane=2)
    fresh = devices.key
    assert joined(devices, by_key(devices, fresh)) == Refusal("used")
    assert devices.known[PHONE].helps and devices.known[PHONE].key != fresh == devices.key


def test_who_types_the_code_under_anothers_name_does_not_shut_it_out(devices):
    shows = joined(devices, by_code(devices))
    assert joined(devices, by_code(devices)) == shows
    assert joined(devices, replace(by_code(devices), code=None, token=shows.token)) == shows


def test_a_number_that_the_journal_names_is_given_to_nobody_else(devices):
    devices.spent = {1, 3}
    assert [joined(devices, by_code(devices, name=name)).number for name in (PHONE, OTHER, THIRD)] == [2, 4, 5]


def test_who_showed_can_scan_later_and_keeps_its_number(devices):
    joined(devices, by_code(devices))
    scanned = joined(devices, by_key(devices, devices.key))
    assert scanned.number == 1 and scanned.key and not scanned.token


def test_who_was_sent_away_does_not_come_back(devices):
    key = devices.key
    joined(devices, by_key(devices, key))
    devices.change(PHONE, away=True)
    assert {joined(devices, asked) for asked in (by_key(devices, key), by_code(devices))} == {Refusal("away")}


def test_another_session_and_another_protocol_are_told(devices):
    assert joined(devices, replace(by_code(devices), session="0" * 32)) == Refusal("session")
    assert joined(devices, replace(by_code(devices), v=2)) == Refusal("version")


def test_wrong_codes_are_slowed_then_shut_out(devices):
    wrong = by_code(devices, "000000" if devices.code != "000000" else "000001")
    waits, at_ms = [], 0
    for _ in range(SHUT_AFTER):
        waits.append(joined(devices, wrong, at_ms).wait_ms)
        assert joined(devices, by_code(devices), at_ms) == Refusal("shut", waits[-1]), "the right one has to wait too"
        at_ms += waits[-1]
    assert waits == [1_000, 2_000, 4_000, 8_000, SHUT_MS]
    assert isinstance(joined(devices, by_code(devices), 0, "10.0.0.8"), Device), "others are not shut out"
    assert isinstance(joined(devices, by_code(devices), at_ms), Device)


def test_after_fifty_wrong_codes_nobody_joins_by_the_code_until_there_is_another(devices):
    wrong = by_code(devices, "000000" if devices.code != "000000" else "000001")
    for number in range(MOST_WRONG):
        joined(devices, wrong, 0, f"10.0.1.{number}")
    assert joined(devices, by_code(devices)) == Refusal("shut")
    assert isinstance(joined(devices, by_key(devices, devices.key)), Device), "the QR code serves all the same"
    devices.renew_code()
    assert isinstance(joined(devices, by_code(devices, name=OTHER)), Device)


def test_the_lockout_forgets_the_oldest_addresses():
    lockout = Lockout()
    for number in range(400):
        lockout.wrong(str(number), 0)
    assert lockout.wait_ms("0", 1) == 0 and lockout.wait_ms("399", 1) == 999


def test_a_thousand_devices_are_not_remembered(devices):
    helper = joined(devices, by_key(devices, devices.key))
    for number in range(1_000):
        joined(devices, by_code(devices, name=f"{number:016x}"))
    assert len(devices.known) == 1 + MOST_DEVICES and devices.known[PHONE] == helper
    numbers = {one.number for one in devices.known.values()}
    assert numbers > set(range(1, 1 + MOST_DEVICES)), "who joined first is kept"


def test_all_of_it_is_kept_with_the_session(devices, tmp_path):
    joined(devices, by_key(devices, devices.key))
    joined(devices, by_code(devices, name=OTHER))
    devices.change(PHONE, helps=True, lane=2, view="dial")
    devices.turn(PHONE, 5_000, 2)
    devices.turn(PHONE, 9_000, None)
    devices.refuse(PHONE, 5)
    devices.refuse(PHONE, 2)
    devices.name_hosts(("10.0.0.7:8080",))
    keep_screens(tmp_path, KeptScreens(12, True, 8080, devices.as_json()))
    assert (tmp_path / FILE).stat().st_mode & 0o777 == 0o600
    found = kept_screens(tmp_path)
    assert (found.number, found.on, found.port) == (12, True, 8080)
    again = found.opened()
    assert (again.known, again.code, again.key, again.session, again.hosts) == (
        devices.known, devices.code, devices.key, devices.session, ("10.0.0.7:8080",),
    )  # fmt: skip
    assert were_on(tmp_path, 12) and not were_on(tmp_path, 13) and not were_on(tmp_path, None)


def test_the_next_session_takes_them_over_but_whom_the_coach_sent_away(devices):
    key = devices.key
    joined(devices, by_key(devices, key))
    shows = joined(devices, by_code(devices, name=OTHER))
    joined(devices, by_code(devices, name=THIRD))
    devices.change(PHONE, helps=True, lane=2)
    devices.turn(PHONE, 0, 2)
    devices.refuse(PHONE, 5)
    devices.change(THIRD, away=True)
    following = for_next_session(devices)
    assert following.session != devices.session and (following.code, following.key) != (devices.code, devices.key)
    assert [one.here for one in following.known.values()] == [False, False]
    assert [one.helped_before for one in following.known.values()] == [True, False]
    assert not any(one.helped_before for one in for_next_session(following).known.values())
    back = joined(following, by_key(following, key))
    assert (back.number, back.here, back.helps, back.lane, back.turns, back.refused) == (1, True, False, None, (), ())
    token = Join(1, OTHER, following.session, token=shows.token)
    assert joined(following, token).number == 2
    assert joined(following, replace(token, device=THIRD, token=new_key())) == Refusal("code")
    assert joined(following, by_code(following, name=THIRD)).number == 3


def test_who_was_not_here_yet_is_forgotten_first(devices):
    for number in range(MOST_DEVICES):
        joined(devices, by_code(devices, name=f"{number:016x}"))
    following = for_next_session(devices)
    for number in range(200):
        joined(following, by_code(following, name=f"a{number:015x}"))
    assert len(following.known) == MOST_DEVICES and sum(one.here for one in following.known.values()) == 200
    numbers = [one.number for one in following.known.values()]
    assert len(set(numbers)) == len(numbers)


def test_nobody_scans_again_because_many_join_by_the_code(devices):
    """Neither who is absent in this session nor who is here."""
    for number in range(20):
        joined(devices, by_key(devices, devices.key, f"{number:016x}"))
    following = for_next_session(devices)
    keys = {name: one.key for name, one in following.known.items()}
    back, *absent = keys
    joined(following, by_key(following, keys[back], back))
    for number in range(1_000):
        joined(following, by_code(following, name=f"a{number:015x}"))
    assert len(following.known) == 20 + MOST_DEVICES
    for name in (back, *absent):
        assert isinstance(joined(following, by_key(following, keys[name], name)), Device)


def test_of_those_that_scanned_who_was_not_here_yet_is_forgotten_first(devices):
    for number in range(MOST_DEVICES):
        joined(devices, by_key(devices, devices.key, f"{number:016x}"))
    following = for_next_session(devices)
    for number in range(20):
        joined(following, by_key(following, following.key, f"a{number:015x}"))
    assert len(following.known) == MOST_DEVICES and sum(one.here for one in following.known.values()) == 20


def test_since_when_it_helps_where_ascends_and_is_not_kept_for_ever(devices):
    joined(devices, by_key(devices, devices.key))
    devices.turn(PHONE, 60_000, 1)
    devices.turn(PHONE, 50_000, 2)  # it says that it changed before it was approved
    assert devices.turn(PHONE, 70_000, 2).turns == ((60_000, 1), (60_000, 2))
    for number in range(100):
        devices.turn(PHONE, 80_000, number % 2)
    assert len(devices.known[PHONE].turns) == MOST_TURNS


def damaged(told):
    device = told["screens"]["devices"][0]
    yield "half a file", "{"
    yield "no device", {**told, "screens": {**told["screens"], "devices": [7]}}
    for name, value in (("key", "xy"), ("number", "1"), ("helps", 1), ("lane", "2"), ("more", 1), ("turns", [[1]]),
                        ("turns", [["1", 2]]), ("turns", 7), ("refused", 7), ("refused", ["1"])):  # fmt: skip
        yield name, {**told, "screens": {**told["screens"], "devices": [{**device, name: value}]}}
    yield "code", {**told, "screens": {**told["screens"], "code": "12345"}}
    yield "version", {**told, "v": 1}
    yield "half a device", {**told, "screens": {**told["screens"], "devices": [{"turns": []}]}}
    yield "hosts", {**told, "screens": {**told["screens"], "hosts": 7}}


def test_what_is_damaged_is_paired_anew_and_never_a_traceback(devices, tmp_path):
    joined(devices, by_key(devices, devices.key))
    keep_screens(tmp_path, KeptScreens(12, True, 8080, devices.as_json()))
    told = json.loads((tmp_path / FILE).read_text())
    for name, wrong in damaged(told):
        (tmp_path / FILE).write_text(wrong if isinstance(wrong, str) else json.dumps(wrong))
        assert kept_screens(tmp_path) is None, name


def test_the_server_is_not_imported_before_it_is_turned_on():
    script = (
        "import sys, pacer.screens.screensonoff, pacer.screens.screensfile\n"
        "import pacer.screens.pairingcode, pacer.cli.sessioncommands\n"
        "print([name for name in ('websockets', 'segno', 'pacer.screens.lanescreens') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
