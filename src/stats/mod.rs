//! Statistics on plain numbers: fits, intervals, mixtures of normals, three-way decisions.
