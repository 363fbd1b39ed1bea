"""From TOML, tables, SDF or a typed line to a `Study`; every problem is reported at once.

Decisions, and what was rejected:

* A table of molecules is text or a workbook by its content, not by its name: a spreadsheet's export is called
  `.txt` as often as `.csv` (`sheets`).
* Of a workbook every visible sheet with a column of ours is read. The first sheet alone was rejected, as
  molecules on the second would be lost without a word; sheets without such a column are notes of people, and
  a remark says that they were passed over.
* Whether a text is a SMILES, a name or a list of groups is decided in one place for each
  (`chairgap.molecule.group_lists.looks_like_groups`, `chairgap.naming.recognise`), lists first.
* A study with a wrong setting does not run, and `--check` reads its molecules with the default in its place
  (`reading.UnsoundStudyError`). To stop at the settings was rejected: a user mends all in one go; a message
  about a molecule may then be one of the default, as the first line of the check says.
"""
