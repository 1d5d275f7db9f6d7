"""Mutations of what a fill follows through time: walls, contents, the compressor, the receiver."""

from __future__ import annotations

from .record import Edit, Mutation, Part, Setting

WALLS = "core/c/walls.c"
SOLVE = "core/c/solve.c"
RECEIVER = "fill/receiver.py"
FILL: Setting = "a fill"
STAYS = "fill/test_storage.py::test_a_wall_that_is_given_no_time_stays_as_hot_as_it_was"
OTHERS = (
    "fill/test_receiver.py::"
    "test_air_wall_and_surroundings_against_a_library_of_differential_equations[air]"
)


def _stored(name: str, part: Part, term: str, file: str, old: str, group: str) -> Mutation:
    """A wall that stores no heat."""
    return Mutation(
        name=name, part=part, term=term, broken="none is",
        edits=(Edit(file, old, old.replace("then->rate", "0.0 * then->rate", 1)),),
        test=f"{STAYS}[{group}]", setting=FILL,
    )  # fmt: skip


MUTATIONS = (
    _stored("store-rings", "walls", "heat is stored in barrels", WALLS,
            "double stored = then->rate * then->ring[i]", "rings"),
    _stored("store-head", "walls", "heat is stored in heads", WALLS,
            "head_stored = then->rate * then->head[i];", "head"),
    _stored("store-crown", "walls", "heat is stored in pistons", WALLS,
            "double stored = then->rate * then->crown[i];", "crown"),
    _stored("store-line", "walls", "heat is stored in the line's wall", WALLS,
            "double stored = then->rate * then->line[i];", "line"),
    _stored("store-drive", "drive", "heat is stored in the drive's wall", WALLS,
            "double stored = then->rate * then->drive;", "drive"),
    Mutation(
        name="store-passage", part="walls", term="heat is stored in tubes and shells",
        broken="none is",
        edits=(Edit(SOLVE, "double stored = s->then->rate * s->then->outer[node][k];",
                    "double stored = 0.0 * s->then->outer[node][k];"),),
        test=f"{STAYS}[outer]", setting=FILL,
    ),
    Mutation(
        name="store-contents", part="the whole",
        term="a line fills over many cycles", broken="at once",
        edits=(Edit(SOLVE, "double cycles = then->rate * then->kept[v] * s->out->period;",
                    "double cycles = 0.0 * then->kept[v] * s->out->period;"),),
        test="fill/test_storage.py::test_a_line_that_is_given_no_time_holds_what_it_held",
        setting=FILL,
    ),
    Mutation(
        name="compressor-rests", part="drive",
        term="the machine rests for a compressor that gives too little", broken="it does not",
        edits=(Edit(SOLVE, "least = larger(least, taken_in(m, strokes) / m->capacity);",
                    "least = larger(least, 0.0 * taken_in(m, strokes));"),),
        test="fill/test_whole_fill.py::test_a_compressor_that_is_short_makes_air_the_currency"
        "[rests]",
        setting=FILL,
    ),
    Mutation(
        name="receiver-film", part="the whole",
        term="gas in the receiver hands heat to its wall", broken="a tenth of it",
        edits=(Edit(RECEIVER, "return float(filling_nusselt(Re, Ra) * k",
                    "return float(0.1 * filling_nusselt(Re, Ra) * k"),),
        test=OTHERS, setting=FILL,
    ),
    Mutation(
        name="receiver-wall", part="the whole",
        term="the receiver's wall stores heat", broken="a tenth of it",
        edits=(Edit(RECEIVER, "stored = self.capacity / length",
                    "stored = 0.1 * self.capacity / length"),),
        test=OTHERS, setting=FILL,
    ),
    Mutation(
        name="receiver-outside", part="the whole",
        term="the receiver's wall loses heat", broken="by radiation alone",
        edits=(Edit(RECEIVER, "self.ambient.film_factor * natural + radiant",
                    "0.0 * natural + radiant"),),
        test=OTHERS, setting=FILL,
    ),
)  # fmt: skip
