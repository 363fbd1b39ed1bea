"""Packed content of a page: JSON, deflated, in base64, as a JSON text that holds no HTML."""

import base64
import json
import zlib

_LEVEL = 6


def packed(content: object) -> str:
    """A JSON text of base64 letters alone, which the page unpacks when it is needed."""
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    deflated = zlib.compress(text.encode("utf-8", "replace"), _LEVEL)
    return f'"{base64.b64encode(deflated).decode("ascii")}"'
