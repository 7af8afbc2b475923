"""hardstand: checklist runner and defect logbook for aircraft radio sets."""

__version__ = "0.1.0"
