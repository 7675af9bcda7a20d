"""Sentences made last, from data: every text of a finding, and how it is filled in.

Another language is another folder beside ``english`` with the same names in it.
"""
