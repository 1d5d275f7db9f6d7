"""The libraries that other tests lean on still print what they document."""

from __future__ import annotations

import fluids
import ht
import pytest
from printed import near


@pytest.mark.parametrize(
    ("name", "arguments", "printed"),
    [
        ("helical_turbulent_Nu_Mori_Nakayama", (2e5, 0.7, 0.01, 0.2), 496.2522480663327),
        ("helical_turbulent_Nu_Schmidt", (2e5, 0.7, 0.01, 0.2), 466.2569996832083),
        ("helical_turbulent_Nu_Xin_Ebadian", (2e5, 0.7, 0.01, 0.2), 474.11413424344755),
        ("Nu_laminar_rectangular_Shan_London", (0.7,), 3.751762675455),
        ("turbulent_Gnielinski", (1e5, 1.2, 0.0185), 254.62682749359632),
        ("laminar_entry_thermal_Hausen", (1e5, 1.1, 5.0, 0.5), 39.01352358988535),
        ("laminar_entry_Seider_Tate", (1e5, 1.1, 5.0, 0.5), 41.366029684589265),
        ("laminar_entry_Baehr_Stephan", (1e5, 1.1, 5.0, 0.5), 72.65402046550976),
        ("turbulent_entry_Hausen", (1e5, 1.2, 0.154, 0.05), 677.7228275901755),
        ("Morimoto_Hotta", (1e5, 5.7, 0.05, 0.5), 634.4879473869859),
        ("Nu_horizontal_cylinder_Churchill_Chu", (0.69, 2.63e9), 139.13493970073597),
        ("Nu_vertical_plate_Churchill", (0.69, 2.63e9), 147.16185223770603),
        ("fin_efficiency_Kern_Kraus", (0.0254, 0.05715, 3.8e-4, 200, 58), 0.841258862023),
        ("LMTD", (100, 60, 30, 40.2), 43.200409294131525),
        ("R_cylinder", (0.9, 1, 20, 10), 8.38432343682705e-05),
        ("turbulent_Dittus_Boelter", (1e5, 1.2), 247.40036409449127),
    ],
)
def test_ht_prints_what_it_documents(
    name: str, arguments: tuple[float, ...], printed: float
) -> None:
    """Docstrings of ht 1.2.0."""
    assert getattr(ht, name)(*arguments) == pytest.approx(printed, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "arguments", "printed"),
    [
        ("helical_laminar_fd_White", (250, 0.02, 0.1), 0.4063281817830202),
        ("helical_laminar_fd_Mori_Nakayama", (250, 0.02, 0.1), 0.42224582857795434),
        ("helical_laminar_fd_Schmidt", (250, 0.02, 0.1), 0.47460725672835236),
        ("helical_turbulent_fd_Schmidt", (1e4, 0.01, 0.02), 0.08875550767040916),
        ("helical_turbulent_fd_Mori_Nakayama", (1e4, 0.01, 0.2), 0.037311802071379796),
        ("helical_turbulent_fd_Prasad", (1e4, 0.01, 0.2), 0.043313098093994626),
        ("helical_turbulent_fd_Czop", (1e4, 0.01, 0.2), 0.02979575250574106),
        ("helical_turbulent_fd_Ju", (1e4, 0.01, 0.2), 0.04945959480770937),
        ("helical_turbulent_fd_Mandal_Nigam", (1e4, 0.01, 0.2), 0.03831658117115902),
        ("T_stagnation_ideal", (255.7, 250, 1005), 286.79452736318405),
        ("P_critical_flow", (1.4e6, 1.289), 766812.9022792266),
        ("T_critical_flow", (473, 1.289), 413.2809086937528),
        ("friction_factor_curved", (1e5, 0.02, 0.5), 0.022961996738387523),
        ("helical_Re_crit", (0.02, 0.5), 6946.792538856203),
    ],
)
def test_fluids_prints_what_it_documents(
    name: str, arguments: tuple[float, ...], printed: float
) -> None:
    """Docstrings of fluids 1.3.1."""
    assert getattr(fluids, name)(*arguments) == pytest.approx(printed, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("Seth_Stahel", "7645.06"),
        ("Ito", "10729.97"),
        ("Kubair_Kuloor", "8625.99"),
        ("Kutateladze_Borishanskii", "8156.79"),
        ("Schmidt", "10540.09"),
        ("Srinivasan", "11624.70"),
    ],
)
def test_transition_laws_of_fluids(name: str, printed: str) -> None:
    """Docstrings of fluids 1.3.1."""
    assert getattr(fluids, f"helical_transition_Re_{name}")(1, 7.0) == near(printed)
