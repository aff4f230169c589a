//! From names, abbreviations and standard sound ids to a row of the catalog.
