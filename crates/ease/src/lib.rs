//! Charts that look right and can be worked.
