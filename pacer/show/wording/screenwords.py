"""What the lane screens' own page says besides the views: its pages, keys and answers.

The page has them as data, so that another language needs no change to its scripts.
"""

from __future__ import annotations

from pacer.language import tr
from pacer.show.wording.commonkeys import DELETE, SAVE
from pacer.show.wording.stopalltext import STOP_ALL

NO_SCRIPT = tr("This page needs JavaScript. Turn it on in the browser's settings.")
PAGE_WORDS = {
    # joining; the first seven by the reason that a tablet gives
    "code": tr("That is not the code on the tablet."),
    "shut": tr("Too many wrong codes."),
    "used": tr("Another screen has used this QR code. Scan the one that the tablet shows now."),
    "away": tr("The coach disconnected this screen."),
    "full": tr("No room for another screen. Disconnect one on the tablet first."),
    "session": tr("That was another session. Scan the tablet's QR code again."),
    "version": tr("This page and the tablet are different versions. Load the page again."),
    "no": tr("The tablet refused this screen. Scan its QR code again."),
    "wait": tr("Wait {time}."),
    "ask": tr("Code on the tablet"),
    "clear": tr("Clear"),
    "delete": DELETE,
    "looking": tr("Looking for the tablet…"),
    "network": tr("This device and the tablet must be on the same network."),
    "other": tr("Other address"),
    "address": tr("Address on the tablet"),
    "where": tr("To see it, press More, then Lane screens on the tablet."),
    "find": tr("Find"),
    "waiting": tr("Waiting for the session…"),
    # what it shows
    "lane": tr("Lane"),
    "dial": tr("Dial"),
    "pool": tr("Pool"),
    "which": tr("Which lane is this screen at?"),
    "wide": tr("How wide is this screen?"),
    "measure": tr(
        "pacer needs the width to make the digits large enough. Measure the lit part of the screen, as you hold it "
        "now. A phone is 6 to 7 cm wide, a tablet 13 to 24 cm."
    ),
    "cm": tr("{width} cm"),
    "save": SAVE,
    "far": tr("Readable from {metres} m"),
    "near": tr("That is for the count-down. Use a larger screen, or put it nearer to the swimmers."),
    "enough": tr("Swimmers can read the count-down, the lane and SWIM or REST from there."),
    "ok": tr("OK"),
    "on": tr("The screen stays on."),
    "off": tr(
        "To keep this screen on, open the device's settings, then Display: the longest screen timeout, or never."
    ),
    # keys of the screen
    "change": tr("Change lane"),
    "bright": tr("Bright"),
    "dark": tr("Dark"),
    "beeps": tr("Beeps: on"),
    "quiet": tr("Beeps: off"),
    "size": tr("Screen width"),
    "again": tr("Find tablet"),
    "fill": tr("Full screen"),
    "leave": tr("Exit full screen"),
    "screen": tr("Screen {number}."),
    # the tablet is not heard
    "alone": tr("No contact for {time}"),
    "going": tr("No contact with the tablet for {time}. This screen keeps going."),
    "old": tr("No contact with the tablet for {time}. Send-offs may have changed."),
    # keys of a helper
    "here": tr("Lane {number}"),
    "touch": tr("Touch"),
    "rate": tr("Stroke rate"),
    "stop": STOP_ALL,
    "sending": tr("Sending…"),
    "cycles": tr("{rate} cycles a minute"),
    "hand": tr("Press once a stroke cycle, always at the same point"),
    "few": tr("Not enough. Press three times or more."),
    "saved": tr("Saved"),
    "lost": tr("Not saved"),
    "shout": tr("Not sent. Shout STOP."),
}
