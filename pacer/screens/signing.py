"""Keys, codes and what is signed with them: HMAC (RFC 2104) with SHA-256."""

from __future__ import annotations

import hmac
import secrets
from hashlib import sha256

CODE_DIGITS = 6


def new_key() -> str:
    """A key of 128 bits, or anything else that nobody should guess, in hex."""
    return secrets.token_hex(16)


def new_code() -> str:
    """A code to be typed."""
    return f"{secrets.randbelow(10**CODE_DIGITS):0{CODE_DIGITS}d}"


def mac_of(key: str, *parts: str) -> str:
    """The signature of `parts` (only the last may contain spaces) with a key in hex; it is in hex too.

    >>> mac_of("00" * 16, "join", "a", "b")[:16]
    'd706891b767a9aaf'
    """
    return hmac.new(bytes.fromhex(key), " ".join(parts).encode(), sha256).hexdigest()


def is_signed(key: str, mac: str, *parts: str) -> bool:
    """Whether `mac` is that signature. Takes equally long either way."""
    return same(mac_of(key, *parts), mac)


def same(one: str, other: str) -> bool:
    """Whether two secrets are the same. Takes equally long either way."""
    return hmac.compare_digest(one.encode(), other.encode())
