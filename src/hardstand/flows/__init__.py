"""Use cases as plain functions: ports and values in, values out."""
