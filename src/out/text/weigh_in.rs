//! The weigh-in sheet on the terminal.

use super::page::Page;
use super::{Style, cited, sentence};
use crate::out::Sources;
use crate::out::weigh_in::{WeighInRow, WeighInSheet};

/// The sheet: what is to be weighed in, its arithmetic, the scale, room for readings, cautions.
pub fn weigh_in(sheet: &WeighInSheet, style: Style) -> String {
    let mut sources = Sources::default();
    sheet.cautions.iter().for_each(|(_, s)| sources.mention(*s));
    let mut page = Page::new(style);
    page.strong(&sentence(&sheet.headline));
    let invented = if sheet.invented {
        " (invented example)"
    } else {
        ""
    };
    let (record, refrigerant) = (&sheet.record, sheet.refrigerant);
    page.verbatim("  ", &format!("{record}{invented}, {refrigerant}"));

    page.heading("What belongs in");
    arithmetic(&mut page, &sheet.rows);
    if !sheet.scale.is_empty() {
        page.heading("On the scale");
        for (name, value) in &sheet.scale {
            page.paragraph(&format!("  {name:<26}"), &" ".repeat(28), value);
        }
        page.heading("To write down");
        for blank in &sheet.blanks {
            page.verbatim("  ", &format!("{blank:<41}{}", "_".repeat(30)));
        }
    }
    page.heading("Mind");
    for (text, source) in &sheet.cautions {
        let number = sources.number(*source);
        let number = number.map_or(String::new(), |n| format!(" [{n}]"));
        page.item(&format!("{}{number}", sentence(text)));
    }
    if let Some(command) = &sheet.command {
        page.heading("Afterwards");
        page.verbatim("  ", command);
    }
    cited(&mut page, &sources);
    page.text
}

/// Lines of arithmetic in columns; a sum has its mark.
pub(super) fn arithmetic(page: &mut Page, rows: &[WeighInRow]) {
    let width = |part: fn(&WeighInRow) -> &str| {
        let widths = rows.iter().map(|row| part(row).chars().count());
        widths.max().unwrap_or(0)
    };
    let (label, mass) = (width(|r| &r.label), width(|r| &r.mass));
    for row in rows {
        let mark = if row.sum { "= " } else { "  " };
        let line = format!(
            "{mark}{:<label$}  {:>mass$}  {}",
            row.label, row.mass, row.how
        );
        page.verbatim("", line.trim_end());
    }
}
