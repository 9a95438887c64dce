"""Tokens: made here, shown once, kept as hashes only."""

import hashlib
import secrets

TOKEN_BYTES = 24  # 192 bits: cannot be guessed


def make_token() -> str:
    """Return a new token of URL-safe characters."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def hashed(token: str) -> str:
    """Return what is kept of a token; a fast hash is enough, because nobody can guess 192 bits."""
    return hashlib.sha256(token.encode(errors="replace")).hexdigest()
