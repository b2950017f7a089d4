"""Setting out: where every hole goes, from two pins, two tapes and one laser set-up.

``stakes.stake(model, setout)`` makes :class:`~plumbrail.setout.stakes.Stakes`; it draws nothing.
"""
