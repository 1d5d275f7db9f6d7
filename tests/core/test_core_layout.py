"""The records that cross to C: sizes and places as the system's compiler has them, and units."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from core_build import compile_program

from jacketcalc.core.layout import constants, header_text, records

UNIT = re.compile(r"\[(-|SI|[\w/(). ]+)\]$")
PLAIN = ("double", "int64_t")


def test_sizes_and_places_are_the_compilers(tmp_path: Path) -> None:
    """A program that prints sizeof and offsetof of everything in layout.h."""
    lines = []
    for name, record in records().items():
        lines.append(f'printf("{name} %zu\\n", sizeof({name}));')
        for field in record.names or ():
            member = f"(({name} *)0)->{field}"
            lines.append(
                f'printf("{name}.{field} %zu %zu\\n", offsetof({name}, {field}), sizeof({member}));'
            )
    source = '#include <stddef.h>\n#include <stdio.h>\n#include "layout.h"\nint main(void)\n{\n'
    program = compile_program(source + "\n".join(lines) + "\nreturn 0;\n}\n", tmp_path)
    told = subprocess.run([program], capture_output=True, text=True, check=True).stdout
    found = {
        words[0]: [int(word) for word in words[1:]]
        for words in map(str.split, told.split("\n"))
        if words
    }
    wanted = {}
    for name, record in records().items():
        wanted[name] = [record.itemsize]
        for field, (kind, place, *_) in (record.fields or {}).items():
            wanted[f"{name}.{field}"] = [place, kind.itemsize]
    assert len(found) > 200
    assert found == wanted


def test_every_record_of_the_header_is_read() -> None:
    text = header_text()
    assert len(re.findall(r"\bstruct\b", text)) == len(records())
    assert len(re.findall(r"^#define \w+ ", text, re.MULTILINE)) == len(constants())


def test_no_record_has_a_gap() -> None:
    for name, record in records().items():
        sizes = [kind.itemsize for kind, *_ in (record.fields or {}).values()]
        assert record.itemsize == sum(sizes) and record.itemsize % 8 == 0, name


def test_every_number_has_a_meaning_and_a_unit() -> None:
    """`type name; // meaning [unit]`; a field that is a record has its units inside."""
    for name in records():
        body = header_text().split(f"typedef struct {name} {{")[1].split(f"\n}} {name};")[0]
        for line in body.strip().splitlines():
            kind = line.split()[0]
            if kind in records():
                continue
            assert kind in PLAIN or line.strip().startswith(("const double *", "const Gas *")), line
            meaning = line.partition("//")[2].strip()
            assert UNIT.search(meaning) and len(meaning.split()) > 1, f"{name}: {line.strip()}"
