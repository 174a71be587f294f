"""Who may come in and what may be sent. ``secure`` puts everything in place; docs/threat-model.md says against whom.

Each module answers one question and knows nothing of the bench's pages: ``hosts`` (which names are ours), ``origins``
(which page asks), ``gate`` (who is signed in), ``bodies`` (how much may be sent, how slowly), ``headers`` (what a browser is
told), ``attempts`` (how often may one guess), ``uploads`` and ``file_names`` (what is in a file, what may it be called).
"""
