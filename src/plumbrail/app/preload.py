"""What every worker needs, loaded once: workers are then copies of a process that has it."""

import os

for _library in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_library, "1")

from plumbrail.app.worker import gentle  # noqa: E402

gentle()

import plumbrail.jobs.cutting  # noqa: E402
import plumbrail.jobs.wire_output  # noqa: E402
import plumbrail.jobs.wiring  # noqa: E402
import plumbrail.jobs.yield_output  # noqa: E402
import plumbrail.jobs.yielding  # noqa: E402, F401
