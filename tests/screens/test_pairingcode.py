"""The QR code, read by zxing-cpp, which has nothing to do with segno, which writes it."""

from __future__ import annotations

import io

import numpy as np
import pytest
import zxingcpp

from pacer.screens.pairingcode import QUIET, qr_rows, qr_terminal
from pacer.screens.signing import new_key


def picture(rows, size):
    squares = np.array([[0 if square == "#" else 255 for square in row] for row in rows], dtype=np.uint8)
    return np.kron(squares, np.ones((size, size), dtype=np.uint8))


@pytest.mark.parametrize("address", ["http://192.168.43.1:8080", "http://10.0.0.7:8089", "http://172.16.254.200:65535"])
@pytest.mark.parametrize("size", [3, 8])
def test_a_reader_that_is_not_the_writer_reads_it(address, size):
    text = f"{address}/#{new_key()}"
    found = zxingcpp.read_barcodes(picture(qr_rows(text), size))
    assert [one.text for one in found] == [text]


def test_in_a_terminal_too():
    text = f"http://192.168.43.1:8080/#{new_key()}"
    out = io.StringIO()
    qr_terminal(text, out)
    halves = {"█": "..", " ": "##", "▀": ".#", "▄": "#."}
    rows = []
    for line in out.getvalue().splitlines():
        rows += ["".join(halves[letter][half] for letter in line) for half in (0, 1)]
    assert zxingcpp.read_barcodes(picture(rows, 4))[0].text == text


def test_it_has_its_quiet_zone():
    rows = qr_rows("http://192.168.43.1:8080/#" + new_key())
    light = "." * len(rows)
    assert list(rows[:QUIET]) == list(rows[-QUIET:]) == [light] * QUIET
    assert all(row.startswith("." * QUIET) and row.endswith("." * QUIET) for row in rows)
