"""Records as bytes: MessagePack by msgspec, arrays as (type, shape, bytes), compressed.

A store is read back without running anything it holds, which pickled objects would allow.
"""

import zlib
from functools import cache
from typing import Any, TypeVar, cast

import msgspec
import numpy as np

_LEVEL = 6
_MOST_BYTES = 64_000_000  # unpacked; the largest molecules take some 2 MB
Kind = TypeVar("Kind")


def packed(record: object) -> bytes:
    """A record as bytes; equal records give equal bytes."""
    return zlib.compress(msgspec.msgpack.encode(record, enc_hook=_from_array, order="deterministic"), _LEVEL)


def unpacked(content: bytes, kind: type[Kind]) -> Kind:
    """The record of that kind in the bytes. Raises ValueError when they hold something else, or more than a
    record may take."""
    opening = zlib.decompressobj()
    try:
        whole = opening.decompress(content, _MOST_BYTES)
        if not opening.eof:
            raise ValueError("it is cut short, or larger than any record")
        found: Kind = _decoder(cast(Any, kind)).decode(whole)
    except (zlib.error, TypeError, RecursionError) as error:
        raise ValueError(str(error)) from None
    return found


@cache
def _decoder(kind: Any) -> msgspec.msgpack.Decoder[Any]:
    return msgspec.msgpack.Decoder(kind, dec_hook=_to_array)


def _from_array(value: object) -> tuple[str, tuple[int, ...], bytes]:
    if isinstance(value, np.ndarray):
        return value.dtype.str, value.shape, value.tobytes()
    raise NotImplementedError(f"a {type(value).__name__} cannot be kept")


def _to_array(_: type[Any], value: Any) -> Any:
    kind, shape, content = value
    return np.frombuffer(content, dtype=np.dtype(kind)).reshape(shape)
