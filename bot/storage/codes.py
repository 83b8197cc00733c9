"""The code of an invitation: 128 bits, kept only as a hash.

A code is made from a nonce, which is kept, and a secret of the running program, which is not in the database: whoever
reads the database, a copy of it or the outbox learns no code, and a message that has to be sent once more bears the
same one.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets

BITS = 128
# Crockford's base 32 (crockford.com/base32.html, from memory): no I, L, O, U, so that it survives being read aloud.
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = -(-BITS // 5)  # 26 characters


def new_nonce() -> str:
    """A nonce that no other invitation has."""
    return secrets.token_hex(16)


def new_secret() -> bytes:
    """A secret for a program that has none of its own; its codes cannot be made again by another."""
    return secrets.token_bytes(32)


def secret_of(token: str, use: str) -> bytes:
    """The secret for one use, from the bot's token: the same in every process that serves the bot."""
    return hmac.new(token.encode(), f"fettle {use}".encode(), hashlib.sha256).digest()


def code_of(secret: bytes, nonce: str) -> str:
    """The code of that nonce: 26 capitals and digits."""
    number = int.from_bytes(hmac.new(secret, nonce.encode(), hashlib.sha256).digest()[: BITS // 8])
    return "".join(ALPHABET[number >> shift & 31] for shift in range((LENGTH - 1) * 5, -1, -5))


def digest(code: str) -> str:
    """What is kept of a code. It has 128 bits of chance, so a plain hash cannot be searched backwards."""
    return hashlib.sha256(code.encode()).hexdigest()
