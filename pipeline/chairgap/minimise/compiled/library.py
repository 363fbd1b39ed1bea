"""The compiled library beside this file, if it was built and belongs to the sources there."""

import ctypes
from functools import cache
from typing import Any

from chairgap.minimise.compiled.building import HERE, NAME, fingerprint
from chairgap.records import Engine, ForceField, Settings

_KINDS = ("stretches", "bends", "linear_bends", "stretch_bends", "out_of_planes", "torsions", "pairs")


class Lists(ctypes.Structure):
    """`List` of mmff.h."""

    _fields_ = (("count", ctypes.c_int64), ("atoms", ctypes.c_void_p), ("constants", ctypes.c_void_p))


class Terms(ctypes.Structure):
    """`Terms` of mmff.h."""

    _fields_ = (("atoms", ctypes.c_int64), *((kind, Lists) for kind in _KINDS))


class Known(ctypes.Structure):
    """`Known` of mmff.h."""

    _fields_ = (
        ("chains", ctypes.c_int64),
        ("rows", ctypes.c_int64),
        ("atoms", ctypes.c_void_p),
        ("directions", ctypes.c_void_p),
        ("energies", ctypes.c_void_p),
        ("within", ctypes.c_double),
        ("above", ctypes.c_double),
        ("nearer", ctypes.c_double),
    )


def engine_used(settings: Settings) -> Engine:
    """The engine that minimises: RDKit where the compiled one is not built or lacks the force field."""
    if settings.engine == "compiled" and not has(settings.force_field):
        return "rdkit"
    return settings.engine


def has(force_field: ForceField) -> bool:
    """Whether the compiled engine is built here and knows the force field."""
    return force_field != "UFF" and library() is not None


@cache
def library() -> Any | None:
    """The library (ctypes.CDLL), or None where none was built here, or one of other sources."""
    try:
        found = ctypes.CDLL(str(HERE / NAME))
        made_of = (ctypes.c_char * 64).in_dll(found, "mmff_sources").value
    except (OSError, ValueError):
        return None
    if made_of.decode("ascii", "replace") != fingerprint():
        return None
    place = ctypes.c_void_p
    found.mmff_evaluate.argtypes = [place, place, place, place, ctypes.c_int]
    found.mmff_evaluate.restype = ctypes.c_double
    found.mmff_minimise.argtypes = [place, place, ctypes.c_double, ctypes.c_int64, place]
    found.mmff_minimise.restype = ctypes.c_int64
    return found
