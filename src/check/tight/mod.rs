//! *tight*: the standing pressure test.
