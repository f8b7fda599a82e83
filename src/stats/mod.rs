//! Statistics on plain numbers: fits, intervals, mixtures of normals, three-way decisions.
pub mod decision;
pub mod linear;
pub mod mixture;
pub mod noise;
pub mod robust;
pub mod steady;
pub mod within;
