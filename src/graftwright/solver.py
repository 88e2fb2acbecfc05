"""The one way in which a programme is handed to HiGHS: in silence, by one thread, repeatably."""

import highspy


def quiet_solver(*, accepted_gap: float = 0.0, accepted_gap_fraction: float = 0.0) -> highspy.Highs:
    """Return a solver that writes nothing and gives the same answer each time.

    A whole-number search ends within `accepted_gap` of its bound, in units of the aim, or within
    `accepted_gap_fraction` of it.
    """
    # The public constructor switches callbacks on, and with them a banner on standard output that
    # no option reaches; the class beneath it does the same work in silence.
    solver = highspy.Highs.__new__(highspy.Highs)
    super(highspy.Highs, solver).__init__()
    for option, value in (
        ("output_flag", False),
        ("threads", 1),
        ("random_seed", 0),
        ("mip_rel_gap", accepted_gap_fraction),
        ("mip_abs_gap", accepted_gap),
    ):
        solver.setOptionValue(option, value)
    return solver
