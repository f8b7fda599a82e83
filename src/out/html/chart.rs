//! A refrigerant's saturation on one sheet of paper, US Letter or A4, to read beside the gauges.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{head, kept, maker};
use crate::out::figure::{DrawError, PressureEnthalpy, Width, pressure_enthalpy};
use crate::out::table::{Rows, SaturationTable};

const CSS: &str = concat!(include_str!("paper.css"), include_str!("chart.css"));

/// Rows in one block that can still be read on paper.
const MOST_IN_BLOCK: usize = 40;

/// Why a table does not make a page.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChartError {
    /// Letters would be too small.
    #[error(
        "a page has room for {most} rows of {refrigerant}, and these are {rows}: take a larger step or a shorter range"
    )]
    TooManyRows {
        /// The refrigerant.
        refrigerant: &'static str,
        /// How many there are.
        rows: usize,
        /// How many there may be.
        most: usize,
    },
    /// The diagram refused.
    #[error(transparent)]
    Diagram(#[from] DrawError),
}

/// The page: the table on one sheet, and the pressure-enthalpy diagram, if there is one, on a second.
pub fn chart(
    table: &SaturationTable,
    diagram: Option<&PressureEnthalpy>,
) -> Result<String, ChartError> {
    let cells = table.cells();
    let glide = table.has_glide();
    let most_blocks = if glide { 3 } else { 4 };
    if cells.len() > most_blocks * MOST_IN_BLOCK {
        return Err(ChartError::TooManyRows {
            refrigerant: table.refrigerant.name(),
            rows: cells.len(),
            most: most_blocks * MOST_IN_BLOCK,
        });
    }
    let diagram = diagram.map(figure).transpose()?;
    let blocks = cells.len().div_ceil(30).clamp(1, most_blocks);
    let in_block = cells.len().div_ceil(blocks);
    let name = table.refrigerant.name();
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{name}: {}", table.title()), CSS))
            body {
                main {
                    header {
                        h1 { (name) }
                        div {
                            p.title { (title(table)) }
                            p.zero { (kept(&table.gauge_zero())) "." }
                        }
                    }
                    div.blocks style=(format!("--rows: {in_block}; --blocks: {blocks}")) {
                        @for block in cells.chunks(in_block) { (rows(block, table.symbols(), glide)) }
                    }
                    (use_of_columns(glide))
                    footer {
                        p { b { "Not a charging instruction." } " How much refrigerant belongs in a unit, and which superheat or subcooling it should show, stands on its label and in its instructions." }
                        p { (kept(&table.foot())) @if let Some(source) = table.barometer.source() { " Gauge zero: " (source.cite()) "." } " Made by " (maker()) "." }
                    }
                    @if let Some(diagram) = &diagram { (diagram) }
                }
            }
        }
    };
    Ok(page.into_string())
}

fn title(table: &SaturationTable) -> String {
    let [at, found] = table.symbols();
    match table.rows {
        Rows::ByTemperature(_) => {
            format!("Saturation pressure in {found} at each temperature in {at}")
        }
        Rows::ByPressure(_) => {
            format!("Saturation temperature in {found} at each pressure in {at}")
        }
    }
}

/// The diagram for a desk or paper, and for a phone.
fn figure(diagram: &PressureEnthalpy) -> Result<Markup, DrawError> {
    let wide = pressure_enthalpy::draw(diagram, Width::Wide, "diagram")?;
    let narrow = pressure_enthalpy::draw(diagram, Width::Narrow, "diagram")?;
    Ok(html! { figure {
        h2 { (diagram.refrigerant) ": pressure and enthalpy" }
        (PreEscaped(wide)) (PreEscaped(narrow))
        figcaption { "Left of the dome all is liquid, under it liquid and vapour stand together, right of it all is vapour. Pressures are absolute. The tables end before the dome closes at the critical point." @if diagram.has_glide() { " Across the dome each line of temperature is drawn straight between its computed ends; where the glide is large the true line sags between them." } }
    } })
}

fn rows(cells: &[[String; 3]], [at, found]: [&str; 2], glide: bool) -> Markup {
    html! {
        table {
            thead {
                @if glide {
                    tr { th scope="col" { (at) } th scope="col" { "bubble" small { "for subcooling" } } th scope="col" { "dew" small { "for superheat" } } }
                } @else {
                    tr { th scope="col" { (at) } th scope="col" { (found) } }
                }
            }
            tbody {
                @for [at, bubble, dew] in cells {
                    tr { th scope="row" { (minus(at)) } td { (minus(bubble)) } @if glide { td { (minus(dew)) } } }
                }
            }
        }
    }
}

/// A number with a real minus sign.
fn minus(number: &str) -> String {
    number.replace('-', "\u{2212}")
}

fn use_of_columns(glide: bool) -> Markup {
    let (bubble, dew) = if glide {
        ("bubble", "dew")
    } else {
        ("saturation", "saturation")
    };
    html! {
        dl {
            div { dt { "subcooling" } dd { b { (bubble) } " temperature at the liquid line's pressure, less the liquid line's temperature" } }
            div { dt { "superheat" } dd { "the suction line's temperature, less " b { (dew) } " temperature at the suction pressure" } }
        }
    }
}
