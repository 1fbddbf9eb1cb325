"""What the page computes itself: signatures and the clock, in a real browser and in simulated time.

HMAC against RFC 4231's test cases; the exchange against RFC 5905's definitions and Cristian's worked example; the
clock against a true offset that the test knows, over 1,000 exchanges.
"""

from __future__ import annotations

import hashlib
import hmac
import random

import pytest

from pacer.shippedfiles import ASSETS

#: RFC 4231, section 4: key, data, HMAC-SHA-256 (case 5 is a truncated one).
RFC_4231 = {
    1: (b"\x0b" * 20, b"Hi There", "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7"),
    2: (b"Jefe", b"what do ya want for nothing?", "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"),
    3: (b"\xaa" * 20, b"\xdd" * 50, "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe"),
    4: (bytes(range(1, 26)), b"\xcd" * 50, "82558a389a443c0ea4cc819899f2083a85f0faa3e578f8077a2e3ff46729665b"),
    5: (b"\x0c" * 20, b"Test With Truncation", "a3b6167473100ee06e0c796c2955552b"),
    6: (
        b"\xaa" * 131,
        b"Test Using Larger Than Block-Size Key - Hash Key First",
        "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54",
    ),
    7: (
        b"\xaa" * 131,
        b"This is a test using a larger than block-size key and a larger than block-size data. The key needs to be "
        b"hashed before being used by the HMAC algorithm.",
        "9b09ffa71b942fcb27635fbcd5b0e944bfdc63644f0713938a7f51535c3a35e2",
    ),
}

#: T1 to T4 in seconds, offset and delay: RFC 5905, section 8, and its erratum 5020 (the first row); the others by hand.
EXCHANGES = [
    ((0, 0.050, 0.050, 0.100), 0, 0.100),
    ((100.000, 105.030, 105.040, 100.070), 5.000, 0.060),
    ((10.000, 7.020, 7.025, 10.065), -3.010, 0.060),
    ((0, 5.010, 5.010, 0.060), 4.980, 0.060),  # 10 ms out, 50 ms back: 20 ms off the true 5 s, within half the delay
]


@pytest.fixture(scope="module")
def script(chromium):
    """The link's script in a page of its own, without a tablet."""
    return load(chromium)


def load(chromium):
    """Load it."""
    code = (ASSETS / "screens" / "link.js").read_text(encoding="utf-8")
    chromium.get("data:text/html,<p>")
    head = "class WebSocket { send() {} close() {} }\n"  # no tablet is there, and none is looked for
    chromium.execute_script(
        "const s = document.createElement('script'); s.textContent = arguments[0]; document.head.appendChild(s);",
        head + code,
    )
    return chromium


@pytest.mark.parametrize("case", RFC_4231)
def test_signatures_are_those_of_rfc_4231(script, case):
    key, data, wanted = RFC_4231[case]
    made = script.execute_script(
        "const p = link.parts; return p.hexOf(p.hmacSha256(p.bytesOfHex(arguments[0]), p.bytesOfHex(arguments[1])));",
        key.hex(),
        data.hex(),
    )
    assert made[: len(wanted)] == wanted


def test_the_page_and_the_tablet_sign_alike(script):
    rng = random.Random(19)
    texts = ["".join(rng.choice('act é{}"漢 0') for _ in range(length)) for length in (0, 1, 55, 56, 63, 64, 65, 900)]
    keys = [rng.randbytes(16) for _ in texts]
    made = script.execute_script(
        "return arguments[0].map((each) => link.parts.macOf(each[0], each[1]));",
        [[k.hex(), t] for k, t in zip(keys, texts)],
    )
    assert made == [hmac.new(key, text.encode(), hashlib.sha256).hexdigest() for key, text in zip(keys, texts)]


@pytest.mark.parametrize(("stamps", "offset", "delay"), EXCHANGES)
def test_an_exchange_is_reckoned_as_rfc_5905_has_it(script, stamps, offset, delay):
    made = script.execute_script("return link.parts.exchanged(...arguments);", *(1000 * stamp for stamp in stamps))
    assert (made["theta"], made["delta"]) == (pytest.approx(1000 * offset), pytest.approx(1000 * delay))


def test_cristians_example(script):
    """Sent 5:08:15.100, back 5:08:15.900, the server said 5:09:25.300: set to 5:09:25.700, at most 400 ms off."""
    sent, back, said = 15.1, 15.9, 85.3
    made = script.execute_script(
        "return link.parts.exchanged(...arguments);", 1e3 * sent, 1e3 * said, 1e3 * said, 1e3 * back
    )
    assert back + made["theta"] / 1000 == pytest.approx(85.7) and made["delta"] / 2 == pytest.approx(400)


# -- the clock in simulated time ------------------------------------------------------------------------------

#: What a clock is fed and asked: exchanges, and between them what it shows and how far off it says that it may be.
RUN = """
const clock = new link.parts.SlewedClock(0.1), shown = [];
for (const [kind, ...values] of arguments[0]) {
  if (kind === "take") clock.take(...values);
  else shown.push([clock.read(values[0]), clock.bound(values[0])]);
}
return shown;
"""


class Network:
    """A screen's clock beside the tablet's: `fast` its rate, `out` and `back` give each packet's delay in ms."""

    def __init__(self, fast=0.0, offset=4_321.0):
        self.fast, self.offset = fast, offset

    def local(self, true_ms):
        """The screen's own clock."""
        return (true_ms - self.offset) * (1 + self.fast)

    def exchange(self, at_ms, out_ms, back_ms):
        """An exchange that begins at `at_ms` of the tablet."""
        return [
            "take", self.local(at_ms), at_ms + out_ms, at_ms + out_ms + 0.2, self.local(at_ms + out_ms + 0.2 + back_ms),
        ]  # fmt: skip


def played(script, network, exchanges, asked):
    """Errors and bounds, in ms, at the instants `asked` (of the tablet), in the order of time."""
    events = [(at + out + back, network.exchange(at, out, back)) for at, out, back in exchanges]
    events += [(at, ["read", network.local(at)]) for at in asked]
    events.sort(key=lambda event: event[0])
    shown = script.execute_script(RUN, [event for _, event in events])
    return [(told - at, bound) for at, (told, bound) in zip(sorted(asked), shown)], [told for told, _ in shown]


def jitter(rng):
    """20 ms ± 15 ms; 5 % come 300 ms late."""
    return 20 + rng.uniform(-15, 15) + (300 if rng.random() < 0.05 else 0)


def percentile(values, share):
    """The value that `share` of them do not exceed."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


@pytest.mark.parametrize("fast", [0.0, 50e-6, -50e-6])
def test_over_a_thousand_exchanges(script, fast):
    rng = random.Random(7)
    exchanges = [(2_000.0 * n, jitter(rng), jitter(rng)) for n in range(1_000)]
    asked = [2_000.0 * n + 1_111 for n in range(20, 1_000)]
    found, shown = played(script, Network(fast), exchanges, asked)
    errors = [abs(error) for error, _ in found]
    assert percentile(errors, 0.5) <= 5 and percentile(errors, 0.99) <= 20
    assert all(abs(error) <= bound for error, bound in found)
    assert shown == sorted(shown)


def test_lopsided_by_30_ms(script):
    rng = random.Random(8)
    exchanges = [(2_000.0 * n, jitter(rng) + 30, jitter(rng)) for n in range(1_000)]
    found, _ = played(script, Network(), exchanges, [2_000.0 * n + 1_111 for n in range(20, 1_000)])
    assert percentile([abs(error) for error, _ in found], 0.99) <= 15 + 20
    assert all(abs(error) <= bound for error, bound in found)


def test_a_minute_of_nothing_at_50_ppm(script):
    rng = random.Random(9)
    exchanges = [(2_000.0 * n, jitter(rng), jitter(rng)) for n in range(300)]
    last = exchanges[-1][0]
    errors = []
    for seed in range(20):
        rng = random.Random(seed)
        exchanges = [(2_000.0 * n, jitter(rng), jitter(rng)) for n in range(300)]
        found, _ = played(script, Network(50e-6), exchanges, [last + 60_000 + 500])
        assert all(abs(error) <= bound for error, bound in found)
        errors += [abs(error) for error, _ in found]
    assert percentile(errors, 0.95) <= 10


def test_a_clock_that_is_found_to_be_ahead_is_slewed_and_never_runs_backwards(script):
    events = [Network().exchange(0.0, 250, 10)]  # the first one: 120 ms ahead
    events += [["read", Network().local(at)] for at in range(300, 2_000, 20)]
    events += [Network().exchange(2_000.0, 10, 10)]
    asked = list(range(2_030, 6_000, 20))
    events += [["read", Network().local(at)] for at in asked]
    shown = [told for told, _ in script.execute_script(RUN, events)]
    assert shown == sorted(shown) and abs(shown[-1] - asked[-1]) < 1
    steps = [after - before for before, after in zip(shown[-len(asked) :], shown[-len(asked) + 1 :])]
    assert min(steps) >= 0.9 * 20 and max(steps) <= 1.1 * 20


def test_a_device_that_slept_is_set_right_at_once(script):
    events = [Network().exchange(0.0, 10, 10), ["read", Network().local(100)]]
    slept = Network(offset=4_321.0 + 60_000)  # its own clock stood still for a minute
    woken = """
    const clock = new link.parts.SlewedClock(0.1);
    clock.take(...arguments[0]); clock.doubt();
    const doubtful = clock.bound(arguments[2]);
    clock.take(...arguments[1]);
    return [clock.read(arguments[2]), doubtful === Infinity];
    """
    at = 90_000.0
    told, doubtful = script.execute_script(woken, events[0][1:], slept.exchange(at, 10, 10)[1:], slept.local(at + 30))
    assert doubtful is True
    assert abs(told - (at + 30)) < 5
