//! *dry*: evacuation and vacuum rise.
