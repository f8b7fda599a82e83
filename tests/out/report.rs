use std::path::Path;

use lineproof::decide::{HowSoon, Meanwhile, Verdict};
use lineproof::out::{Sheet, html};
use lineproof::source::SourceId;

use crate::{sheets, words};

fn report(sheet: &Sheet) -> String {
    html::report(sheet).unwrap()
}

/// Leaves the page in the build's own temporary folder, for a look.
fn leave(name: &str, html: &str) {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.html"));
    std::fs::write(path, html).unwrap();
}

/// What a browser would show: no tags, no style.
fn visible(html: &str) -> String {
    let body = &html[html.find("<body").unwrap()..];
    let mut text = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            _ if !inside => text.push(c),
            _ => {}
        }
    }
    text
}

#[test]
fn it_is_one_small_file_that_loads_nothing() {
    for (name, sheet) in [("go-on", sheets::go_on()), ("call", sheets::call())] {
        let html = report(&sheet);
        for never in [
            "<script",
            "javascript:",
            "http://",
            "https://",
            "url(",
            "@import",
            "src=",
            "<link",
        ] {
            assert!(!html.contains(never), "{never} in {name}");
        }
        assert!(html.len() < 150_000, "{name} has {} bytes", html.len());
        leave(name, &html);
    }
}

#[test]
fn the_standing_pressure_test_shows_its_three_figures_in_order() {
    let html = report(&sheets::go_on());
    let tight = html.find("id=\"tight\"").unwrap();
    let places = ["hold", "residuals", "loss-limit"].map(|id| {
        assert!(html.contains(&format!("id=\"{id}-narrow-title\"")), "{id}");
        html.find(&format!("id=\"{id}-wide-title\"")).unwrap()
    });
    assert!(tight < places[0] && places.is_sorted(), "{places:?}");
}

#[test]
fn every_reference_has_its_place_and_every_id_is_unique() {
    for sheet in [sheets::go_on(), sheets::call()] {
        let html = report(&sheet);
        let mut ids: Vec<&str> = after(&html, " id=\"");
        for target in after(&html, "href=\"#") {
            assert!(ids.contains(&target), "#{target} leads nowhere");
        }
        for spoken in after(&html, "aria-labelledby=\"") {
            assert!(spoken.split(' ').all(|id| ids.contains(&id)), "{spoken}");
        }
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "an id stands twice");
        for (number, source) in sheet.sources().numbered() {
            assert!(
                html.contains(&format!("id=\"source-{number}\"")),
                "{}",
                source.key()
            );
        }
    }
}

fn after<'a>(html: &'a str, mark: &str) -> Vec<&'a str> {
    html.split(mark)
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect()
}

#[test]
fn a_hostile_name_is_only_a_name() {
    let hostile = "<script>alert('x')</script>\"><img src=x onerror=alert(1)>";
    let mut sheet = sheets::call();
    sheet.record = hostile.into();
    sheet.equipment = hostile.into();
    sheet.joints[0].id = hostile.into();
    sheet.events[0].what = hostile.into();
    sheet.decision.headline = hostile.into();
    sheet.stages[3].finding.reasons[0].text = hostile.into();
    let running = sheet.running.as_mut().unwrap();
    running.refrigerant = hostile.into();
    running.points[0].label = hostile.into();
    sheet.hold = Some(sheets::hold(100, 0.1));
    sheet.hold.as_mut().unwrap().began = hostile.into();
    let html = report(&sheet);
    assert!(
        !html.contains("<script") && !html.contains("<img"),
        "a name became markup"
    );
    assert!(html.contains("&lt;script&gt;"));
}

#[test]
fn an_invented_record_says_so_and_a_real_one_does_not() {
    let mut sheet = sheets::go_on();
    assert!(visible(&report(&sheet)).contains("Invented example"));
    sheet.invented = false;
    assert!(!visible(&report(&sheet)).contains("nvented example"));
}

#[test]
fn no_word_from_inside_stands_on_the_page() {
    words::has_no_inside_word(&visible(&report(&sheets::go_on())));
    words::has_no_inside_word(&visible(&report(&sheets::call())));
}

#[test]
fn nothing_is_lost_when_the_first_page_is_full() {
    let mut sheet = sheets::call();
    sheet.decision.grounds = (0..30)
        .map(|i| {
            let text = format!("rule number {i} of very many that all have something to say");
            let kinds = (Verdict::Call, Meanwhile::LeaveOff, HowSoon::Now);
            sheets::ground("many-rules", &text, SourceId::Owner, kinds)
        })
        .collect();
    let step = sheet.decision.next[0].clone();
    sheet.decision.next = vec![step; 9];
    sheet.decision.stop_signs = vec![
        "a hiss, an oil stain, frost on the indoor coil or on the vapour line back to the outdoor unit";
        4
    ];
    let found = &mut sheet.stages[0].finding;
    found.unseen = vec!["a leak so small that only a detector in still air would have found it, or one under the insulation".into(); 9];
    let html = report(&sheet);
    let first_page = &html[..html.find("class=\"stage\"").unwrap()];
    assert!(
        !first_page.contains("rule number 29"),
        "the first page overflows"
    );
    assert!(
        first_page.contains("more on the following pages"),
        "the first page hides rules"
    );
    assert!(html.contains("ule number 29"));
    leave("full", &html);
}
