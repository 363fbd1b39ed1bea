"""The ring flip: the same as `chairgap flip`."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack, overload

from chairgap.drawings.flip_levels import flip_levels, levels_of
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files import OutputFolder
from chairgap.flip.report.tables import MAP, PATH, STATIONARY, FlipTables
from chairgap.flip.report.text import rate_lines
from chairgap.flip.report.write import FlipResults, write_flip
from chairgap.flip.sampling import DEFAULT_TEMPERATURE_K
from chairgap.flip.study import FlipOptions, check_options, flips_of, molecules_to_flip, outputs_for
from chairgap.notebook.drawing import Drawing, drawing_of
from chairgap.notebook.frames import frame_of
from chairgap.records import DynamicsReport, Flip, FlipRates, Refusal, Study, ThetaProfile
from chairgap.study.reading import read_study
from chairgap.study.typed import Origin, name_of, study_of_typed

if TYPE_CHECKING:
    import pandas as pd

_CALL = "compute_flip()"


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class FlipResult:
    """The ring flip of one molecule on the force field's surface in the gas phase.

    Energies are kcal/mol above the lowest minimum, rates 1/s by transition-state theory.
    """

    _results: FlipResults
    _study: Study

    @property
    def _flip(self) -> Flip:
        return self._results.flip

    @property
    def _model(self) -> str:
        return self._study.settings.force_field

    @property
    def _tables(self) -> FlipTables:
        found = self._results
        return FlipTables(flip=found.flip, model=self._model, frames=found.frames, points=found.points)

    @property
    def name(self) -> str:
        """What the molecule is called."""
        return self._flip.molecule.name

    @property
    def note(self) -> str:
        """What is odd about this flip, or ''."""
        return self._flip.note

    @property
    def rates(self) -> FlipRates | None:
        """Rate constants and barriers at the temperature of the study; None without a path."""
        return self._flip.rates

    @property
    def stationary(self) -> "pd.DataFrame":
        """One row for each minimum and saddle; the columns of stationary.csv."""
        return frame_of(STATIONARY, self._tables)

    @property
    def path(self) -> "pd.DataFrame":
        """One row for each geometry of the lowest path; the columns of path.csv."""
        return frame_of(PATH, self._tables)

    @property
    def map(self) -> "pd.DataFrame":
        """One row for each ring shape that was held; the columns of map.csv."""
        return frame_of(MAP, self._tables)

    @property
    def dynamics(self) -> DynamicsReport | None:
        """What the dynamics gave, when it was asked for."""
        return self._results.dynamics

    @property
    def theta_profile(self) -> ThetaProfile | None:
        """The free energy along theta, when it was asked for."""
        return self._results.profile

    def draw(self) -> Drawing:
        """The levels of the lowest path."""
        return drawing_of(flip_levels(levels_of(self._flip, self._model)))

    def save(self, folder: str | Path) -> tuple[Path, ...]:
        """Write the files of `chairgap flip`; returns their paths. Raises InputError for a file that the
        study was read from or that is not as chairgap left it, ChairgapError when writing fails."""
        output = OutputFolder(path=Path(folder), command="flip", inputs=self._study.inputs)
        return write_flip(self._results, self._model, output)

    def __repr__(self) -> str:
        return f"<{self.name}, {self._model}, gas phase: {' '.join(rate_lines(self._flip))}>"


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class FlipStudyResult:
    """The flips of the molecules of a study, in its order. refused and failed: molecules that were not
    treated."""

    _flips: tuple[FlipResult, ...]
    refused: tuple[Refusal, ...]
    failed: tuple[Refusal, ...]

    def __len__(self) -> int:
        return len(self._flips)

    def __iter__(self) -> Iterator[FlipResult]:
        return iter(self._flips)

    def __getitem__(self, index: int) -> FlipResult:
        return self._flips[index]

    def __repr__(self) -> str:
        return f"<{len(self)} flips, {len(self.refused) + len(self.failed)} refused or failed>"


class FlipKeywords(TypedDict, total=False):
    """The keywords of `compute_flip`."""

    only: str
    temperature_k: float | None
    step_deg: float
    dynamics: int
    free_energy: int
    dynamics_temperature_k: float
    seed: int
    output: str | Path | None


# Messages call every option as here.
_ORIGIN = Origin(
    file=_CALL, molecule="molecule", fields={name: name for name in FlipKeywords.__annotations__}
)


@overload
def compute_flip(molecule: str, **keywords: Unpack[FlipKeywords]) -> FlipResult: ...


@overload
def compute_flip(molecule: Path | Study, **keywords: Unpack[FlipKeywords]) -> FlipStudyResult: ...


def compute_flip(  # noqa: PLR0913 - one keyword for each option
    molecule: str | Path | Study,
    *,
    only: str = "",
    temperature_k: float | None = None,
    step_deg: float = 15.0,
    dynamics: int = 0,
    free_energy: int = 0,
    dynamics_temperature_k: float = DEFAULT_TEMPERATURE_K,
    seed: int = 1,
    output: str | Path | None = None,
) -> FlipResult | FlipStudyResult:
    """The ring flip: all ring shapes, the saddles between them, the lowest path, rates and the map.

    molecule: a SMILES, a name, or groups by ring carbon and face, such as '1 up CH3, 2 down OH'; that gives a
    FlipResult. A study, its file as a pathlib.Path or what `read_study` gave, gives a FlipStudyResult. only:
    the one molecule of the study to compute. temperature_k: kelvin, by default 298.15; a study has its own.
    step_deg: degrees between places of the map. dynamics: steps of 0.5 fs of dynamics; free_energy: steps of
    each of three metadynamics runs along theta; both at dynamics_temperature_k, with that seed, and 0 for
    none. output: a folder for the files of `chairgap flip`; without it nothing is written.

    Raises StudyError or InputError for what cannot be read or treated, EngineError when a single molecule
    fails.
    """
    study = _study(molecule, temperature_k)
    options = FlipOptions(
        step_deg=step_deg,
        dynamics=dynamics,
        free_energy=free_energy,
        dynamics_temperature_k=dynamics_temperature_k,
        seed=seed,
    )
    check_options(options, study.settings, _ORIGIN)
    asked = molecules_to_flip(study, only, _ORIGIN)
    outputs = () if output is None else outputs_for(asked, study, Path(output))
    flips, failed = [], list[Refusal]()
    for one, results, _ in flips_of(asked.molecules, study.settings, options, outputs):
        if not isinstance(results, ChairgapError):
            flips.append(FlipResult(_results=results, _study=study))
        elif isinstance(molecule, str):
            raise results
        else:
            failed.append(Refusal(name=one.name, message=results.message, place=one.place))
    if isinstance(molecule, str):
        return flips[0]
    return FlipStudyResult(_flips=tuple(flips), refused=asked.refused, failed=tuple(failed))


def _study(molecule: str | Path | Study, temperature_k: float | None) -> Study:
    if isinstance(molecule, str) and not molecule.strip().endswith(".toml"):
        conditions = {} if temperature_k is None else {"temperature_k": temperature_k}
        named = name_of(molecule)
        settings = {"conditions": conditions}
        return study_of_typed({named: molecule}, title=named, stereo="", settings=settings, origin=_ORIGIN)
    if isinstance(molecule, str):
        message = "A text is a molecule here. Give the file of a study as pathlib.Path('...')."
        raise InputError(message, place=Place(file=_CALL, field="molecule"), value=molecule)
    if temperature_k is not None:
        message = "A study has its own temperature; leave temperature_k out."
        raise InputError(message, place=Place(file=_CALL, field="temperature_k"), value=temperature_k)
    return molecule if isinstance(molecule, Study) else read_study(molecule)
