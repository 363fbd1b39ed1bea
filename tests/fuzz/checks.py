"""What must hold after any case, whatever was typed. Pure: works on what the command left behind."""

import csv
import io
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

from case import OUTPUT, Case

from study_files import STUDY_FILES

MOST_GROWTH_MB = 1000.0
MOST_SHOWN = {"stdout": 300_000, "stderr": 60_000}
LONGEST_LINE = 3_600
_REFUSED = re.compile(r"^! (?:refused|failed|not checked): |^! ", re.MULTILINE)
_LIBRARY = re.compile(r"^\[\d\d:\d\d:\d\d\]|^RDKit |Warning:|terminate called", re.MULTILINE)
_TRACES = (
    "Traceback (most recent call last)",
    "Error inside chairgap",
    "internal error",
    "<frozen",
    'File "/',
)
_SCRIPT = re.compile("<script>.*?</script>", re.DOTALL)
# Sides of a bidirectional text and line separators move what a reader sees, as control characters do.
_MOVES_TEXT = {"Cc", "Zl", "Zp"}
_TURNS_TEXT = set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f")


@dataclass(kw_only=True)
class Outcome:
    """code: the exit code; escaped: an exception that came out of `main`; files: what lies in the folder
    afterwards; cpu_seconds and growth_mb: CPU time and growth of the peak memory."""

    code: int
    out: str
    err: str
    escaped: str = ""
    files: Mapping[str, bytes] = field(default_factory=dict)
    cpu_seconds: float = 0.0
    growth_mb: float = 0.0


def faults(case: Case, outcome: Outcome) -> list[str]:
    """Everything that is wrong with an outcome, in words; nothing when all holds."""
    return [
        *_trace_faults(outcome),
        *_shown_faults(outcome),
        *_code_faults(case, outcome),
        *_file_faults(case, outcome),
    ]


def _trace_faults(outcome: Outcome) -> list[str]:
    shown = outcome.out + outcome.err
    found = [f"'{trace}' is shown" for trace in _TRACES if trace in shown]
    found += ["a remark of a library is shown"] if _LIBRARY.search(shown) else []
    found += [f"came out of main: {outcome.escaped}"] if outcome.escaped else []
    found += [f"memory grew by {outcome.growth_mb:.0f} MB"] if outcome.growth_mb > MOST_GROWTH_MB else []
    return found


def _shown_faults(outcome: Outcome) -> list[str]:
    found = []
    for stream, text in (("stdout", outcome.out), ("stderr", outcome.err)):
        odd = sorted({letter for letter in text if letter != "\n" and _moves(letter)})
        if odd:
            found.append(f"{stream} holds {', '.join(f'U+{ord(letter):04X}' for letter in odd)}")
        if len(text) > MOST_SHOWN[stream]:
            found.append(f"{stream} has {len(text)} characters")
        longest = max(map(len, text.split("\n")))
        if longest > LONGEST_LINE:
            found.append(f"{stream} has a line of {longest} characters")
    return found


def _moves(letter: str) -> bool:
    return unicodedata.category(letter) in _MOVES_TEXT or letter in _TURNS_TEXT


# --- exit codes ------------------------------------------------------------------------------------------


def error_blocks(err: str) -> list[str]:
    """Each error told, with the lines that belong to it."""
    return [f"Error: {block}".rstrip() for block in re.split(r"^Error: ", err, flags=re.MULTILINE)[1:]]


def refusal_blocks(shown: str) -> list[str]:
    return [block.split("\n\n")[0].rstrip() for block in re.split(r"^! ", shown, flags=re.MULTILINE)[1:]]


def _code_faults(case: Case, outcome: Outcome) -> list[str]:
    told = error_blocks(outcome.err)
    refused = refusal_blocks(outcome.out + outcome.err)
    found = [
        f"this does not end with a full stop: {text[-80:]!r}"
        for text in told
        if not _ends_well(text, outcome)
    ]
    if outcome.code not in (0, 1, 2):
        return [*found, f"exit code {outcome.code}"]
    if outcome.code == 2:
        found += [] if told else ["exit code 2 and no line 'Error:'"]
        found += [f"no place is named: {text[:120]!r}" for text in told if not _names_place(case, text)]
        return found
    found += [f"exit code {outcome.code} and an error: {text[:120]!r}" for text in told]
    if case.words[0] != "key":
        found += (
            [f"exit code {outcome.code} and {len(refused)} refused"] if bool(refused) != outcome.code else []
        )
    elif outcome.code == 1 and not (refused or "ERROR" in outcome.out or case.words[1] == "export"):
        found.append("exit code 1 of a key and nothing wrong is told")
    elif outcome.code == 0 and (refused or "x ERROR" in outcome.out):
        found.append("exit code 0 of a key and something wrong is told")
    return found


def _ends_well(text: str, outcome: Outcome) -> bool:
    """A full stop at the end; a wrong option is told by the command-line library, with where help is."""
    return text.endswith(".") or ("Usage: chairgap" in outcome.err and "--help' for help." in outcome.err)


def _names_place(case: Case, text: str) -> bool:
    """The command line, or a file of the case by the plain beginning of its name."""
    folders = {case.words[at + 1] for at, word in enumerate(case.words[:-1]) if word == "--output"}
    folders |= set(case.words[1:]) if case.words[0] == "status" else set()
    names = {re.split(r"[^A-Za-z_/]", name)[0].split("/")[-1] for name in (*case.files, *folders)} - {""}
    plain = (
        "Error: command line",
        "Error: Invalid value",
        "Error: No such option",
        "more are not shown",
        "refused above",
        "Error: Sheet!",
    )
    return any(name in text for name in (*plain, *names))


# --- files -----------------------------------------------------------------------------------------------


def _file_faults(case: Case, outcome: Outcome) -> list[str]:
    found = [f"{name} was changed" for name, raw in case.files.items() if outcome.files.get(name) != raw]
    written = {name: raw for name, raw in outcome.files.items() if name not in case.files}
    if outcome.code == 2 or outcome.escaped:
        return [*found, *(f"{name} was written" for name in written)]
    for name, raw in written.items():
        # The corrected key and the manifest keep what the user wrote.
        if name.endswith((".csv", ".md", ".sdf", ".html")) and not name.endswith("key_corrected.csv"):
            found += _text_faults(name, raw)
    if case.words[0] == "study":
        here = {name.removeprefix(f"{OUTPUT}/") for name in written if name.startswith(f"{OUTPUT}/")}
        found += [f"the folder lacks or adds {sorted(here ^ STUDY_FILES)}"] if here != STUDY_FILES else []
    return found


def _text_faults(name: str, raw: bytes) -> list[str]:
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        return [f"{name} is not UTF-8"]
    if name.endswith(".html"):
        text = _SCRIPT.sub("", text)  # the library in the page keeps the tabs of its makers
    odd = sorted(letter for letter in set(text) - {"\n"} if unicodedata.category(letter) == "Cc")
    found = [f"{name} holds {', '.join(f'U+{ord(letter):04X}' for letter in odd)}"] if odd else []
    if name.endswith(".csv"):
        try:
            rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
        except csv.Error as error:
            return [*found, f"{name} does not read as CSV: {error}"]
        ragged = {len(row) for row in rows}
        if len(ragged) > 1:
            found.append(f"{name} has rows of {sorted(ragged)} cells")
    return found
