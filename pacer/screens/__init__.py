"""Lane screens: any device with a browser shows a lane in step with the tablet. Off until the coach turns it on.

`laneserver` serves one page and one WebSocket from a thread of its own with `websockets`: it is pure Python without
dependencies, so it goes onto Android as it is, while aiohttp brings compiled parts and a framework that one page and
one socket do not need. The server and its library are imported when lane screens are turned on, and not before.

**Who owns what**

- `cardmaking.py` makes card lists from `show/view`, `cardsending.py` the messages they are sent in; `screenpage.py`
  joins `assets/screens/` into the one file that is served at `/`; of that, `layout.js` is written from Python.
- `assets/screens/link.js` holds the connection, the clock, the keys. Its one object is `link` (below).
- `fromscreens.py` checks what comes in, `signing.py` the keys, `devices.py` and `lockout.py` who may join and act,
  `helperacts.py` makes journal entries of acts, `webgate.py` serves the page and keeps strangers out, `laneserver.py`
  and `screenconnection.py` serve the screens, `toscreens.py` is what they are told, `screensfile.py` keeps them
  over a restart, `lanescreens.py` is what the session's driver and the face hold.

**Messages.** One JSON object in a text frame, at `/link`, `type` says which. Times: `t…_ms` are fractions of
milliseconds on a device's own clock, `at_ms` whole milliseconds of session time, `lane` an index in the squad's order.

| from | message | |
| --- | --- | --- |
| tablet | `hello` v, session, nonce | first; the nonce is what a join signs |
| screen | `join` v, device, session, and one of: code; token; mac | first answer, within 5 s; device: 16 hex digits |
| tablet | `refused` why, wait_ms | why: code, shut, used, away, full, session, version; then it closes |
| tablet | `joined` number, role, lanes, title, token, boot, acts, lane, view, keyed, hosts | token: for who joined by \
the code; lanes: their numbers; acts: the highest n that was answered; lane, view: picked before; keyed: it can be \
approved; hosts: the tablet's addresses |
| screen | `pick` lane, view, at_ms | view: lane, dial, pool; the tablet sends that card list from then on; at_ms: \
since when, null before a start |
| screen | `time` t1_ms, bound_ms | bound_ms: the screen's own estimate, null before it has one; for the tablet's list |
| tablet | `time` t1_ms, t2_ms, t3_ms | t2 and t3 on the tablet's clock that never jumps |
| tablet | `state` zero_ms, begun, ended, stopped | zero_ms: of the tablet's clock; null before a start is set |
| tablet | `cards` version, lane, view, from_ms, until_ms, cards | packed; a higher version replaces all from from_ms \
on, the same one adds |
| tablet | `walls` walls | for the pool: by lane and swimmer, when the swim began that the latest time ends \
(`left_ms` of its card), or null |
| screen | `act` body, mac | body: JSON text of n, kind, at_ms, bound_ms and what the kind needs |
| tablet | `answer` n, done, says | to an act, again for each time it comes |
| tablet | `role` role · `show number` for_ms · `away` · `hosts` hosts | the coach approved it, asks for its number, \
sends it away; the tablet's addresses have changed |

Acts: `touch` lane; `rate` lane, marks_ms (session time of each press, ascending), cycles; `stop all`. `n` counts up
from 1 for each device; each counts once, whenever it comes; one that was refused never counts, also after a restart.

**Roles.** A device *shows* until the coach approves it on the tablet; then it *helps*: its acts become journal entries
that name it ("screen 3") and keep their bound. Only a device that has a key of its own can be approved: one that
scanned the QR code. An act counts only at the lane that the device helped at by the act's own time, however late it
comes: `Device.turns` says since when it has helped at which lane. Nothing counts from a device that no longer
helps: its late acts can't be told from those that it backdates.

**The next session** takes the devices over: they join it by what they have, at the lane with the same number, and show.
The coach turns lane screens on again, and lets those that helped help again, with one press for all: another coach may
have the tablet by then, or the phone another hand. Those that were sent away are forgotten.

**Another address.** A page goes on where it was loaded; it tries the addresses that the tablet had told it, and one
that is typed. The tablet knows the addresses it has had: a page from there is no stranger's.

**Keys.** The QR code is `http://ADDRESS:PORT/#KEY`, 32 hex digits. What is behind # never leaves the browser. A key
serves one device: the first to prove it (HMAC-SHA256 of the nonce) has it, and the tablet draws another. So
photographing the code of a phone that has joined gives nothing. An act's mac is HMAC-SHA256 (RFC 2104) by that key of
`act SESSION DEVICE BODY`, a join's of `join SESSION DEVICE NONCE`, in hex.

**The typed code** lets a device show, not help. Six digits from which a key were derived could be tried out by
anybody who listened to one signed message (a million tries are a second's work), and an exchange that is safe against
that (a PAKE) would mean big-number arithmetic of our own in the page, because browsers give `crypto.subtle` to https
alone. What a listener would gain by the code, a screen, they see anyway.

**`link`, for the page**

    link.state            "connecting", "code" (ask for it), "refused", "joined", "away"
    link.why, link.waitMs why it was refused, and for how long
    link.join(code)       try a typed code
    link.number           this screen's number on the tablet's list
    link.role             "shows" or "helps"; link.keyed: whether it can be approved to help
    link.lanes            the numbers on the wall, in the squad's order
    link.title            of the session
    link.host             the address that was tried last; link.find(address) tries another
    link.pick(lane, view) lane is an index; link.picked = {lane, view} is kept on the device, null before
    link.now()            session ms, null before a start is set or before the clock is known; never runs backwards
    link.bound()          the greatest error of now(), ms; null as now()
    link.aloneSince       session ms at which the tablet was last heard, null while it is heard
    link.begun, link.ended, link.stopped
    link.cards            what onCards last gave
    link.act(kind, data)  returns n; at_ms (now) and bound_ms are added, but for what data brings itself
    link.onCards = f(list)    the whole list, ascending in at_ms; before a start is set it holds one card
    link.onState = f()        any of the values above has changed
    link.onNumber = f(forMs)  show the number, large
    link.onAnswer = f(n, done, says)

Before a start is set `cards` holds one card of each part.
"""
