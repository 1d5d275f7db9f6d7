"""Walks a case by its schema: tables that are there, missing, unknown or of the wrong kind."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from jacketcalc.casefile.catalogue_data import settle_flow
from jacketcalc.casefile.fields import CaseTable, former_keys
from jacketcalc.casefile.humidity_data import settle_humidity
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_entries import EntryReader
from jacketcalc.casefile.read_field import lower_first, name_type
from jacketcalc.casefile.read_values import ASSUMED, Origin, Values
from jacketcalc.casefile.schema import ROOT, known_keys
from jacketcalc.casefile.schema_machine import RECEIVER, SUPPLY
from jacketcalc.casefile.schema_question import MATERIALS
from jacketcalc.casefile.similar import find_similar, look_of
from jacketcalc.casefile.source import CaseText
from jacketcalc.errors import Problem
from jacketcalc.inputs import Solid
from jacketcalc.materials import MATERIALS as BUILT_IN


class Collector(EntryReader):
    """Reads one case; problems collect in `problems`."""

    def __init__(self, source: CaseText) -> None:
        super().__init__(source)
        self._looks = {look_of(known): known for known in BUILT_IN}

    def collect(self) -> Values:
        """Read the whole case."""
        tree = self.source.tree
        meant = self.find_meant(tree, ())
        key = next((key for key in meant if meant[key] == MATERIALS.key), MATERIALS.key)
        own = tree.get(MATERIALS.key, tree.get(key))
        self.own_names = tuple(own) if isinstance(own, dict) else ()
        self._walk_materials(own, MATERIALS.key if MATERIALS.key in tree else key)
        given, self.values.given = self.values.given, []
        self._walk_body(ROOT, tree, (), Origin())
        self.fill_rules()
        # A rule may have nothing to fill in: the width of a gallery that is not there.
        idle = self._idle_feeds() | self._idle_of_fills()
        self.values.given = [g for g in self.values.given if g.path and g.path not in idle] + given
        return self.values

    def _idle_feeds(self) -> set[str]:
        """Return the paths of feeds filled in for a single start, which asks for none."""
        jackets = (self.values.at(*path, "jacket") for path in self.values.stage_paths)
        single = [(*j.path, "feed") for j in jackets if j.maybe("starts") == 1.0]
        typed = self.source.spots.keys
        return {self.source.describe_path(path) for path in single if path not in typed}

    def _idle_of_fills(self) -> set[str]:
        """Return the paths of what is filled in for a fill and says nothing here."""
        receiver, typed = self.values.at("receiver"), self.source.spots.keys
        paths: list[Path] = []
        if receiver.maybe("volume") is None:
            paths += [(*receiver.path, field.key) for field in RECEIVER.fields]
        elif receiver.word("cooled_by") == "air":
            paths.append((*receiver.path, "bath_temperature"))
        if self.values.at("compressor").maybe("capacity") is None:
            paths.append(("compressor", "when_short"))
        return {self.source.describe_path(path) for path in paths if path not in typed}

    def _walk_materials(self, own: object, key: str) -> None:
        """Read the user's materials before anything that names one."""
        if own is None:
            return
        path: Path = (key,)
        if not isinstance(own, dict):
            self._refuse_type(path, own, "a table")
            return
        self.values.tables.add(path)
        for name, node in own.items():
            inner: Path = (*path, name)
            if not isinstance(node, dict):
                self._refuse_type(inner, node, "a table")
                continue
            if "." in name or not name.strip() or not name.isprintable() or len(name) > 30:
                self.add(
                    "name-unusable",
                    f'"{name}" cannot be the name of a material',
                    inner,
                    on_key=True,
                    label="rename it",
                    why="a material's name has at most 30 printable characters and no point",
                    fix="shorten it, or write _ for what is not allowed",
                )
                continue
            twin = self._find_twin(name)
            if twin is not None:
                self.add(
                    "name-taken",
                    f'"{name}" is already a built-in material'
                    if twin == name
                    else f'"{name}" can be taken for the material "{twin}"',
                    inner,
                    on_key=True,
                    label="taken",
                    why="a material of your own has a name of its own",
                    fix='call it "our_' + name.replace(" ", "_") + '"',
                )
            self._walk_table(MATERIALS, node, inner, Origin())
            self._make_solid(name, inner)

    def _find_twin(self, name: str) -> str | None:
        """Return the material known before this one whose name looks the same."""
        twin = self._looks.get(look_of(name))
        self._looks.setdefault(look_of(name), name)
        return twin

    def _make_solid(self, name: str, path: Path) -> None:
        view = self.values.at(*path)
        numbers = ("conductivity", "emissivity", "lowest", "highest", "density", "specific_heat")
        if not view.holds(*numbers):
            return
        solid = Solid(name=name, **{key: view.number(key) for key in numbers})
        if solid.lowest >= solid.highest:
            self.add(
                "material-range",
                f'"{name}" serves from a higher to a lower temperature',
                (*path, "lowest"),
                label="not below highest",
                why="lowest is the cold end of the service range",
                fix=f"a lowest below {self.show(solid.highest, 'temperature')}",
            )
        self.own[name] = solid

    def _refuse_type(self, path: Path, value: object, wanted: str) -> None:
        self.add(
            "type-wrong",
            f'"{path[-1]}" is {name_type(value)}, not {wanted}',
            path,
            label=f"{wanted} is wanted",
            why="a table holds entries, each on its own line",
            fix=f"begin it with a header [{self.source.describe_path(path)}]",
        )

    def _walk(self, table: CaseTable, parent: dict[str, Any], above: Path, origin: Origin) -> None:
        """Read one table, or every table of an array."""
        path: Path = (*above, table.key)
        if table.key not in parent:
            self._absent(table, path, parent)
            return
        node = parent[table.key]
        if table.array:
            self._walk_array(table, node, path)
        elif not isinstance(node, dict):
            self._refuse_type(path, node, "a table")
        else:
            self._walk_table(table, node, path, origin)

    def _absent(self, table: CaseTable, path: Path, parent: dict[str, Any]) -> None:
        if self.is_unread(path):
            return
        if self.is_misspelt(table.key, parent, path[:-1]):
            self._walk_misspelt(table, path, parent)
            return
        if table.presence == "filled":
            self._walk_body(table, {}, path, ASSUMED)
        elif table.presence == "required":
            header = f"[[{table.key}]]" if table.array else f"[{self.source.describe_path(path)}]"
            self.add(
                "table-missing",
                f"the table {header} is missing",
                path,
                why=f"it holds: {lower_first(table.about)}",
                fix="copy it from what `jacketcalc new -` prints",
            )

    def _walk_misspelt(self, table: CaseTable, path: Path, parent: dict[str, Any]) -> None:
        """Look for further problems in a table whose name is misspelt."""
        self.misspelt_tables.add(path)
        meant = self.find_meant(parent, path[:-1])
        typed = next(key for key, known in meant.items() if known == table.key)
        node = parent[typed]
        if isinstance(node, dict) and not table.array:
            self._walk_table(table, node, (*path[:-1], typed), Origin("assumed"))

    def _walk_array(self, table: CaseTable, node: object, path: Path) -> None:
        if not isinstance(node, list) or not all(isinstance(item, dict) for item in node):
            self.add(
                "type-wrong",
                f'"{table.key}" is not a list of tables',
                path,
                label=f"[[{table.key}]] is wanted",
                why=f"a machine can have more than one {table.key}",
                fix=f"begin each {table.key} with a header [[{table.key}]]",
            )
            return
        if not 1 <= len(node) <= table.most:
            at: Path = (*path, table.most) if len(node) > table.most else path
            self.add(
                "stage-count",
                f"there are {len(node)} {table.key}s",
                at,
                label="one too many" if node else "none",
                why=f"a case has 1 to {table.most} of them",
                fix=f"leave the last [[{table.key}]] out" if node else f"add a [[{table.key}]]",
            )
        self.values.tables.add(path)
        for index, item in enumerate(node[: table.most]):
            self._walk_table(table, item, (*path, index), Origin())

    def _walk_table(
        self, table: CaseTable, node: dict[str, Any], path: Path, origin: Origin
    ) -> None:
        """Read a table that is there; source and reference are inherited where not stated."""
        self._walk_body(table, node, path, self.read_origin(table, node, path, origin))

    def _walk_body(
        self, table: CaseTable, node: dict[str, Any], path: Path, origin: Origin
    ) -> None:
        self.values.tables.add(path)
        self._refuse_unknown(table, node, path)
        for field in table.fields:
            self.read(field, node, path, origin)
        if any(field.instead_of for field in table.fields):
            settle = settle_humidity if table is SUPPLY else settle_flow
            settle(self, table, node, path, origin)
        for inner in table.tables:
            if inner is not MATERIALS:
                self._walk(inner, node, path, origin)

    def _refuse_unknown(self, table: CaseTable, node: dict[str, Any], path: Path) -> None:
        known = known_keys(table)
        unread = [str(own[-1]) for own in self.source.unread if own[:-1] == path]
        for key in (*node, *sorted(unread)):
            if key in known or key == "*":
                continue
            meant = self.find_meant(node, path)
            similar = meant[key] if key in meant else find_similar(key, known)
            where = f"[{self.source.describe_path(path)}]" if path else "the top of a case"
            if key in dict(table.moved):
                self._refuse_moved(key, dict(table.moved)[key], path, node)
                continue
            if former_keys(table).get(key) == similar:
                self._refuse_former(key, similar, path, node)
                continue
            problem = self.source.problem(
                "key-unknown",
                f'"{key}" is not a key of {where}',
                (*path, key),
                on_key=True,
                label=f'the nearest is "{similar}"' if similar else "not known here",
                why=f"known here: {', '.join(known)}",
                fix=f'write "{similar}" for "{key}"'
                if similar and similar not in node
                else "leave it out, or put a # before it",
            )
            self.problems.append(problem if key in node else self._on_unread_line(problem, key))

    def _refuse_former(self, key: str, now: str, path: Path, node: dict[str, Any]) -> None:
        """Tell the key that stands today for one of version 0.1."""
        problem = self.source.problem(
            "key-renamed",
            f'"{key}" is called "{now}" since version 0.2',
            (*path, key),
            on_key=True,
            label=f'now "{now}"',
            why="the case file now uses the words of the trade's standards",
            fix=f'leave it out: "{now}" is here too'
            if now in node
            else f'write "{now}" for "{key}"',
        )
        self.problems.append(problem if key in node else self._on_unread_line(problem, key))

    def _refuse_moved(self, key: str, now: str, path: Path, node: dict[str, Any]) -> None:
        """Tell where an entry stands today that stood in this table once."""
        table, _, name = now.rpartition(".")
        there = self.source.tree.get(table)
        both = isinstance(there, dict) and name in there
        problem = self.source.problem(
            "key-moved",
            f'"{key}" stands in [{table}] now, as "{name}"',
            (*path, key),
            on_key=True,
            label=f"now {now}",
            why=f"[{table}] holds all that the shop can make, and has",
            fix=f"leave it out: {now} is here too"
            if both
            else f'write "{name}" into a table [{table}] with a source, and leave it out here',
        )
        self.problems.append(problem if key in node else self._on_unread_line(problem, key))

    def _on_unread_line(self, problem: Problem, key: str) -> Problem:
        """Place a problem at a key whose line could not be read further."""
        typed = next(p for p in self.source.problems if p.text.lstrip().startswith(key))
        column = typed.text.index(key) + 1
        return replace(problem, line=typed.line, column=column, text=typed.text, width=len(key))
