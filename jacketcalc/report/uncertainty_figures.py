"""Pictures of samples, ranks and readings, as PNG and SVG by the endings of their file names."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from jacketcalc.assessment.result import Assessment
from jacketcalc.number_text import percent
from jacketcalc.report.figures.indices import describe_indices, draw_indices
from jacketcalc.report.figures.intervals import describe_intervals, draw_intervals
from jacketcalc.report.figures.residuals import describe_residuals, draw_residuals
from jacketcalc.report.figures.study_bench import residuals, unknowns
from jacketcalc.report.figures.study_indices import indices
from jacketcalc.report.figures.study_intervals import intervals
from jacketcalc.report.figures.study_ranking import tornado
from jacketcalc.report.figures.tornado import describe_tornado, draw_tornado
from jacketcalc.report.figures.unknowns import describe_unknowns, draw_unknowns
from jacketcalc.report.pictures import MakePicture, Picture, picture_files
from jacketcalc.uncertainty.result import UncertaintyStudy

if TYPE_CHECKING:
    from jacketcalc.uncertainty.indices import VarianceShares
    from jacketcalc.uncertainty.rank import Ranking
    from jacketcalc.uncertainty.reconcile import Reconciliation


def interval_picture(study: UncertaintyStudy, found: Assessment) -> Picture:
    """Return the picture of the intervals, the model range beside them."""
    data = intervals(study, found)
    return Picture(partial(draw_intervals, data), describe_intervals(data))


def tornado_picture(ranking: Ranking) -> Picture:
    """Return the picture of what each input does alone."""
    data = tornado(ranking)
    return Picture(partial(draw_tornado, data), describe_tornado(data))


def unknowns_picture(found: Reconciliation) -> Picture:
    """Return the picture of the unknowns before and after the readings."""
    data = unknowns(found)
    return Picture(partial(draw_unknowns, data), describe_unknowns(data))


def residuals_picture(found: Reconciliation) -> Picture:
    """Return the picture of readings against the model."""
    data = residuals(found)
    return Picture(partial(draw_residuals, data), describe_residuals(data))


def uncertainty_figures(study: UncertaintyStudy, found: Assessment) -> dict[str, MakePicture]:
    """Return the picture of a verdict's samples.

    Parameters
    ----------
    study : samples of the verdict
    found : assessment of the same case, whose model range stands beside the samples
    """
    level = percent(study.level, 0, sign=False)
    words = (
        f"{study.samples} pairs of {len(study.inputs)} uncertain inputs, seed {study.seed}, "
        f"{level} intervals; model range of {len(found.band.members)} models"
    )
    return picture_files({"-intervals": interval_picture(study, found)}, study.case, words)


def indices_picture(shares: VarianceShares) -> Picture:
    """Return the picture of what causes the spread."""
    data = indices(shares)
    return Picture(partial(draw_indices, data), describe_indices(data))


def rank_figures(ranking: Ranking, shares: VarianceShares | None = None) -> dict[str, MakePicture]:
    """Return the pictures of a ranking.

    Parameters
    ----------
    ranking : the inputs, each alone from end to end
    shares : their shares of the variance, where they were asked for
    """
    words = (
        f"each of {len(ranking.effects)} inputs alone, ends of its 95 % interval; "
        "no model range solved"
    )
    pictures = picture_files({"-tornado": tornado_picture(ranking)}, ranking.case, words)
    if shares is None:
        return pictures
    words = (
        f"{shares.samples} pairs for first order, {shares.redrawn} for each total, seed "
        f"{shares.seed}; at most {shares.solutions} machine solutions"
    )
    more = picture_files({"-indices": indices_picture(shares)}, ranking.case, words)
    return {**pictures, **more}


def bench_figures(found: Reconciliation) -> dict[str, MakePicture]:
    """Return the pictures of readings: unknowns before and after them, and residuals."""
    count = len(found.compared)
    words = (
        f"{count} {'reading' if count == 1 else 'readings'}, {len(found.joint.unknowns)} unknowns "
        "with their priors; no model range solved"
    )
    pictures = {"-unknowns": unknowns_picture(found), "-residuals": residuals_picture(found)}
    return picture_files(pictures, found.case, words)
