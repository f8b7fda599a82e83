//! *watch*: is it still tight? A door only, for now.
