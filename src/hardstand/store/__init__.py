"""The record on SQL: the only home of rows and statements."""
