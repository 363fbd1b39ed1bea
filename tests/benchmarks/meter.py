"""CPU seconds by kind of call: timers put round functions for as long as a `with` block lasts."""

import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from typing import Any
from unittest import mock

import numpy as np
from openmm import _openmm
from rdkit.Chem import rdDistGeom, rdForceFieldHelpers
from rdkit.ForceField.rdForceField import ForceField

from chairgap.minimise import mmff_terms
from chairgap.minimise.compiled.engine import CompiledModel
from chairgap.minimise.engines import Engines
from chairgap.model import treatment as treat

Place = tuple[object, str, str]

# Compiled code by library. The calls that carry the work are counted, each from its entry to its return with
# the conversion of its arguments; what is not listed (getters of single force-field parameters, opening a
# molecule, substructure matches) goes to the part that is not native, and so does the overhead of the timers.
NATIVE: tuple[Place, ...] = (
    *((CompiledModel, name, "compiled") for name in ("minimise", "energy_and_gradient", "hessian")),
    (ForceField, "Minimize", "RDKit"),
    (ForceField, "CalcEnergy", "RDKit"),
    (ForceField, "CalcGrad", "RDKit"),
    (rdForceFieldHelpers, "MMFFGetMoleculeProperties", "RDKit"),
    (rdForceFieldHelpers, "MMFFGetMoleculeForceField", "RDKit"),
    (mmff_terms, "MMFFGetMoleculeProperties", "RDKit"),
    (rdDistGeom, "EmbedMultipleConfs", "RDKit"),
    (_openmm, "new_Context", "OpenMM"),
    (_openmm, "Context_setPositions", "OpenMM"),
    (_openmm, "Context_getState", "OpenMM"),
    *((np.linalg, name, "LAPACK") for name in ("eigh", "eigvalsh", "solve", "qr", "svd", "det", "inv")),
)
# The stages of `compute`.
STAGES: tuple[Place, ...] = (
    (treat, "search", "search"),
    (treat, "open_engines", "check"),
    (Engines, "check", "check"),
    (treat, "verify", "Hessians"),
)


@dataclass(kw_only=True)
class Meter:
    """CPU seconds by label; a call inside another one of the same meter is not counted twice."""

    seconds: dict[str, float] = field(default_factory=lambda: defaultdict(float))
    calls: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    inside: bool = False

    def timed(self, function: Callable[..., Any], label: str, name: str) -> Callable[..., Any]:
        def call(*arguments: Any, **named: Any) -> Any:
            if self.inside:
                return function(*arguments, **named)
            self.inside = True
            begin = time.process_time()
            try:
                return function(*arguments, **named)
            finally:
                self.seconds[label] += time.process_time() - begin
                self.calls[name] += 1
                self.inside = False

        return call

    @contextmanager
    def over(self, places: Sequence[Place]) -> Iterator[None]:
        with ExitStack() as stack:
            for owner, name, label in places:
                timer = self.timed(getattr(owner, name), label, name)
                stack.enter_context(mock.patch.object(owner, name, timer))
            yield
