"""The two numbers by which a file is known as a record; light, for the hot reads."""

APPLICATION_ID = 0x48535444
"""PRAGMA application_id of a record: the letters HSTD."""

SCHEMA = 1
"""PRAGMA user_version: the form of the tables. A newer one is refused."""
