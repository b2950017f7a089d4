"""From model and design basis to checks.

``framing`` turns the model into a frame, ``actions`` puts the loads on it, ``response`` solves and
combines; ``members``, ``splices``, ``rails``, ``foundations``, ``joints``, ``modules``, ``sway``
and ``deflections`` compare demand with capacity; ``run`` does all of it, ``result`` says what a
check is.
"""
