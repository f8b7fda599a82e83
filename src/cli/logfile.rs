//! Arguments that say how a logger file is read.

use crate::record::logger::Asked;

/// How a logger file is read, where its names do not say.
#[derive(Debug, clap::Args)]
pub(super) struct LogFile {
    /// Name of the time column
    #[arg(long, value_name = "NAME")]
    time_column: Option<String>,
    /// Name of the pressure column
    #[arg(long, value_name = "NAME")]
    pressure_column: Option<String>,
    /// Unit of the pressure column, gauge or absolute said, e.g. psig
    #[arg(long, value_name = "UNIT")]
    pressure_unit: Option<String>,
    /// Name of the outdoor temperature column
    #[arg(long, value_name = "NAME")]
    outdoor_column: Option<String>,
    /// Name of the indoor temperature column
    #[arg(long, value_name = "NAME")]
    indoor_column: Option<String>,
    /// Leave out rows without a reading (OL, Off, ---), and say which
    #[arg(long)]
    skip_missing: bool,
}

impl LogFile {
    /// As the reader of logger files wants it.
    pub fn asked(&self) -> Asked {
        Asked {
            time_column: self.time_column.clone(),
            pressure_column: self.pressure_column.clone(),
            pressure_unit: self.pressure_unit.clone(),
            outdoor_column: self.outdoor_column.clone(),
            indoor_column: self.indoor_column.clone(),
            skip_missing: self.skip_missing,
        }
    }
}
