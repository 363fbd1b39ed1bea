"""From a molecule text of a key to the facts that the symbolic checks need."""

from collections.abc import Callable, Sequence

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.model.published import published_for
from chairgap.molecule.build import build_molecules
from chairgap.molecule.facts import facts_of
from chairgap.molecule.group_lists import looks_like_groups, read_group_list
from chairgap.naming.reading import parse_name
from chairgap.naming.recognise import looks_like_a_name
from chairgap.records import Equilibrium, EstimateTable, Facts, Molecule, MoleculeRequest, Result
from chairgap.report.names import bare_words


class FactsLookup:
    """Builds each molecule of a key once; with `treat`, which makes its result, also computes it."""

    def __init__(
        self,
        table: EstimateTable,
        *,
        place: Place,
        treat: Callable[[Molecule], Result] | None = None,
        equilibria: Sequence[Equilibrium] = (),
    ):
        self._table, self._place, self._treat, self._equilibria = table, place, treat, equilibria
        self._built: dict[str, Facts | InputError] = {}

    def facts_of(self, text: str) -> Facts:
        """Facts of a SMILES, a name or list of groups by face. Raises InputError with the reason when it
        cannot be treated."""
        if text not in self._built:
            try:
                self._built[text] = self._make(text)
            except ChairgapError as error:
                self._built[text] = InputError(f"{text}: {error.message}", place=self._place, value=text)
        found = self._built[text]
        if isinstance(found, InputError):
            raise found
        return found

    def _make(self, text: str) -> Facts:
        listed = read_group_list(text) if looks_like_groups(text) else None
        parsed = parse_name(text) if listed is None and looks_like_a_name(text) else None
        request = MoleculeRequest(
            name=text,
            place=self._place,
            smiles=parsed.numbered_smiles if parsed else None if listed else text.strip(),
            substituents=listed.groups if listed else None,
            mirror_too=any(read.relative for read in (listed, parsed) if read),
        )
        (molecule,) = build_molecules(request, self._table, force_field="MMFF94", atom_limit=400)
        return facts_of(
            molecule,
            text=text,
            systematic=bare_words(molecule.naming) if molecule.naming else "",
            faces_given=listed is not None and not listed.relative,
            published=published_for(molecule.topology, self._equilibria),
            result=None if self._treat is None else self._treat(molecule),
        )
