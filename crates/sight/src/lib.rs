//! Yarns that an eye may take for each other.
