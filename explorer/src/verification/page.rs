//! The page that `verify` writes: one file, no script, readable on a phone and on paper, by day and by night.

use super::figure::{figure, leading, scale_style};
use super::html::escape;
use super::table::number;
use super::{PageError, Verified};
use reference::check::{Check, Rate};
use reference::problem::Outcome;
use report::pictures::convergence as written;
use report::published as words;
use std::collections::BTreeSet;
use std::fmt::Write;
use viz::{Convergence, ConvergenceChart, ConvergenceWords};

const STYLE: &str = "
:root { color-scheme: light dark; --paper: #f6efe2; --card: #fbf7ee; --ink: #1b2730; --quiet: #5d5c55; --accent: #0d6b63;
  --bad: #9c2f12; --line: #d8ccb4; --second: #9c4418; --third: #3c468c }
* { box-sizing: border-box }
body { background: var(--paper); color: var(--ink); font: 16px/1.45 system-ui, sans-serif; margin: 0 auto;
  max-width: 80rem; padding: 1.5rem }
h1 { font-size: 1.9rem; line-height: 1.15; margin: .3rem 0 .6rem; text-wrap: balance }
h2 { font-size: 1.25rem; line-height: 1.25; margin: 0 } h2::first-letter { text-transform: uppercase }
p { margin: .3rem 0; max-width: 60rem } a { color: var(--accent) } .source, .remarks, .reasons, .quiet { color: var(--quiet) }
.source, .reasons { font-size: .92rem } .remarks { font-size: .92rem; margin: .4rem 0; padding-left: 1.2rem }
table { border-collapse: collapse; margin: .6rem 0; width: 100%; font-variant-numeric: tabular-nums }
th, td { border-bottom: 1px solid var(--line); padding: .28rem 0 .28rem .9rem; text-align: right; vertical-align: top }
th { color: var(--quiet); font-size: .85rem; font-weight: 600; vertical-align: bottom }
th:first-child, td:first-child { padding-left: 0; text-align: left }
td:not(:first-child) { white-space: nowrap }
.overview td:nth-child(2) { text-align: left; white-space: normal; font-size: .92rem; color: var(--quiet) }
.overview th:nth-child(2) { text-align: left } .overview td:first-child { width: 36% }
.overview a { display: inline-block; text-decoration: none } .overview a:hover { text-decoration: underline }
.overview a::first-letter { text-transform: uppercase }
.overview small { color: var(--quiet); display: block; font-size: .85rem }
.pass { color: var(--accent); font-weight: 600 } .fail { color: var(--bad); font-weight: 700 }
section { background: var(--card); border: 1px solid var(--line); border-radius: .6rem; display: grid;
  gap: .4rem 2rem; grid-template-columns: minmax(0, 1fr) 360px; margin: 1.4rem 0; padding: 1.1rem 1.3rem;
  scroll-margin-top: 1rem }
section > header { grid-column: 1 / -1 } section > .numbers { grid-column: 1; min-width: 0 }
section > .pictures { grid-column: 2; min-width: 0 } .pictures figure { position: sticky; top: 1rem } section.bare > .numbers { grid-column: 1 / -1 }
figure { margin: .4rem 0 } svg { display: block; height: auto; max-width: 100% }
figcaption { font-size: .92rem; margin-top: .4rem } .scale { border: 1px solid var(--line); display: block; height: .7rem }
.ends { display: flex; font-size: .85rem; justify-content: space-between; margin-bottom: .3rem }
.ends b { font-weight: 600 } .shown { font-weight: 600 } .chart { margin-top: 1rem }
.key { color: var(--quiet); font-size: .92rem; margin: .6rem 0 }
footer { border-top: 1px solid var(--line); margin-top: 2rem; padding-top: .6rem }
@media (max-width: 62rem) {
  section { grid-template-columns: minmax(0, 1fr) } section > .pictures { grid-column: 1 } .pictures figure { position: static }
  .pictures figure > svg { max-width: min(100%, 460px); width: 100% }
}
@media (max-width: 44rem) {
  body { padding: 1rem .8rem } section { padding: .9rem .9rem; margin: 1rem 0 }
  table, tbody, tr, td { display: block; width: 100% } tr:has(th) { display: none }
  tr { border-bottom: 1px solid var(--line); display: flex; flex-wrap: wrap; gap: 0 1rem; padding: .45rem 0 }
  td, td:first-child { border: 0; flex: 0 0 calc(50% - .5rem); order: 2; padding: 0; text-align: left; width: auto }
  td:first-child { flex: 1 1 calc(100% - 6rem); font-weight: 600; order: 0 }
  td:last-child { flex: 0 0 auto; margin-left: auto; order: 1 }
  td[data-is]::before { color: var(--quiet); content: attr(data-is) ' ' }
  .overview td:nth-child(2) { display: none } td::before { color: var(--quiet); font-size: .9em; font-weight: 400 }
  .overview td:empty { display: none } .overview td:first-child { width: auto }
}
@media (prefers-color-scheme: dark) {
  :root { --paper: #141b20; --card: #1b242a; --ink: #ece5d6; --quiet: #a9a596; --accent: #5cc4b8; --bad: #ff9a78;
    --line: #38444b; --second: #f0a36c; --third: #a9b4f5 }
  svg [fill='#1c2831' i], svg [fill='#1C2831'] { fill: var(--ink) } svg [stroke='#1c2831' i]:not([stroke-opacity]) { stroke: var(--ink) }
  svg [stroke='#626059' i] { stroke: var(--quiet) } svg [stroke='#0d6b66' i] { stroke: var(--accent) }
  svg [stroke='#ded3bd' i] { stroke: var(--line) }
  svg [fill='#0d6b63' i] { fill: var(--accent) } svg [stroke='#0d6b63' i] { stroke: var(--accent) }
  svg [fill='#9c4418' i] { fill: var(--second) } svg [stroke='#9c4418' i] { stroke: var(--second) }
  svg [fill='#3c468c' i] { fill: var(--third) } svg [stroke='#3c468c' i] { stroke: var(--third) }
}
@media print { section { break-inside: avoid; border-color: #bbb } body { max-width: none; padding: 0 } }
";

/// A cell that says on a narrow page what it is, where its column has no heading.
fn cell(is: &str, said: &str) -> String {
    if said.is_empty() {
        return "<td class=\"none\"></td>".to_owned();
    }
    format!("<td data-is=\"{is}\" class=\"n\">{said}</td>")
}

/// The row of a table's headings.
fn headings(of: &[&str]) -> String {
    let cells: String = of.iter().map(|heading| format!("<th>{heading}</th>")).collect();
    format!("<tr>{cells}</tr>\n")
}

fn verdict(passes: bool) -> String {
    let class = if passes { "pass" } else { "fail" };
    format!("<td class=\"{class}\">{}</td>", words::verdict(passes))
}

/// Whether a difference is a part of the expected number and large enough to be said in percent.
fn in_percent(c: &Check) -> bool {
    c.expected != 0.0 && c.tolerance >= 1e-5
}

/// A part in percent, with as many digits as tell it from nothing; signed when asked for.
fn percent(part: f64, signed: bool) -> String {
    let size = 100.0 * part.abs();
    let digits = match size {
        s if s >= 0.995 => 1,
        s if s >= 0.0995 => 2,
        s if s >= 0.000_5 => 3,
        _ => return "0 %".to_owned(),
    };
    let sign = match part {
        p if p < 0.0 => "−",
        _ if signed => "+",
        _ => "",
    };
    let words = format!("{size:.digits$}");
    let words = if signed { words.as_str() } else { words.trim_end_matches('0').trim_end_matches('.') };
    format!("{sign}{words} %")
}

/// A number with a true minus.
fn plain(value: f64) -> String {
    number(value).replace('-', "−")
}

fn difference(c: &Check) -> String {
    match c.difference() {
        d if in_percent(c) => percent(d, true),
        0.0 => "0".to_owned(),
        d if d.abs() >= 1e-3 => format!("{d:+.3}").replace('-', "−"),
        d => format!("{d:+.0e}").replace('-', "−"),
    }
}

fn allowed(c: &Check) -> String {
    match c.tolerance {
        t if in_percent(c) => percent(t, false),
        t if t == 0.0 || t >= 1e-3 => {
            format!("{t:.3}").trim_end_matches('0').trim_end_matches('.').to_owned()
        }
        t => format!("{t:.0e}").replace('-', "−"),
    }
}

/// The page.
///
/// # Errors
/// A chart or picture cannot be drawn.
pub fn page(all: &[Verified]) -> Result<String, PageError> {
    let met = all.iter().filter(|v| v.passes()).count();
    let outcomes = || all.iter().filter_map(|v| v.result.as_ref().ok());
    let numbers: usize = outcomes().map(|o| o.checks.len() + o.rates.len()).sum();
    let mut out = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{}</title>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><style>{STYLE}{}</style></head><body>\n\
         <h1>{}</h1>\n<p>{}</p>\n{}<p class=\"key\">{}</p>\n",
        words::PAGE,
        scale_style(),
        words::HEADING,
        words::introduction(met, all.len(), numbers),
        overview(all),
        words::KEY
    );
    for v in all {
        out.push_str(&section(v)?);
    }
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<footer><p class=\"source\">{}</p></footer>\n</body></html>\n",
        escape(report::caution::CAUTION)
    );
    Ok(out)
}

/// One row for each problem, with the number that stands for it.
fn overview(all: &[Verified]) -> String {
    let mut out = format!("<table class=\"overview\">{}", headings(&words::OVERVIEW));
    for v in all {
        let outcome = v.result.as_ref().ok();
        let check = outcome.and_then(leading);
        let rates = outcome.map_or_else(String::new, |o| {
            let each = o.rates.iter().map(|r| format!("{:.1}", r.measured()));
            each.collect::<Vec<_>>().join(" · ")
        });
        let said = |f: fn(&Check) -> String| check.map_or_else(String::new, f);
        let _ = writeln!(
            out,
            "<tr><td class=\"n\"><a href=\"#{}\">{}</a><small>{}</small></td><td class=\"n\">{}</td>{}{}{}{}{}</tr>",
            v.problem.name,
            escape(v.problem.title),
            escape(check.map_or("", |c| c.quantity.as_str())),
            escape(v.problem.source),
            cell(words::EXPECTED, &said(|c| plain(c.expected))),
            cell(words::GOT, &said(|c| plain(c.got))),
            cell(words::OFF, &said(difference)),
            cell(words::RATES, &rates),
            verdict(v.passes())
        );
    }
    out.push_str("</table>\n");
    out
}

fn section(v: &Verified) -> Result<String, PageError> {
    let pictures = match &v.result {
        Ok(outcome) => figure(v, outcome)?,
        Err(_) => String::new(),
    };
    let bare = if pictures.is_empty() { " class=\"bare\"" } else { "" };
    let mut out = format!("<section{bare} id=\"{}\">\n", v.problem.name);
    let _ = writeln!(out, "<header><h2>{}</h2>", escape(v.problem.title));
    let _ = writeln!(out, "<p class=\"source\">{}</p></header>", escape(&words::source(v.problem.source)));
    out.push_str("<div class=\"numbers\">\n");
    match &v.result {
        Err(reason) => {
            let _ = writeln!(out, "<p class=\"fail\">{}</p>", escape(&words::not_run(reason)));
        }
        Ok(outcome) => numbers(&mut out, v.problem.title, outcome)?,
    }
    out.push_str("</div>\n");
    if !pictures.is_empty() {
        let _ = writeln!(out, "<div class=\"pictures\">\n{pictures}</div>");
    }
    out.push_str("</section>\n");
    Ok(out)
}

/// The table of one problem, its chart and its remarks.
fn numbers(out: &mut String, title: &str, outcome: &Outcome) -> Result<(), PageError> {
    let _ = write!(out, "<table class=\"checks\">{}", headings(&words::NUMBERS));
    for c in &outcome.checks {
        let _ = writeln!(
            out,
            "<tr title=\"{}\"><td>{}</td>{}{}{}{}{}</tr>",
            escape(c.reason),
            escape(&c.quantity),
            cell(words::EXPECTED, &plain(c.expected)),
            cell(words::GOT, &plain(c.got)),
            cell(words::OFF, &difference(c)),
            cell(words::ALLOWED, &allowed(c)),
            verdict(c.passes())
        );
    }
    for r in &outcome.rates {
        let _ = writeln!(
            out,
            "<tr><td>{}</td>{}{}{}{}{}</tr>",
            escape(&words::rate_of(&r.quantity())),
            cell(words::EXPECTED, &r.expected.to_string()),
            cell(words::GOT, &format!("{:.2}", r.measured())),
            cell(words::OFF, &format!("{:+.2}", r.measured() - r.expected).replace('-', "−")),
            cell(words::ALLOWED, &r.tolerance.to_string()),
            verdict(r.passes())
        );
    }
    out.push_str("</table>\n");
    let mut reasons: Vec<&str> = outcome.checks.iter().map(|c| c.reason).collect();
    let mut seen = BTreeSet::new();
    reasons.retain(|reason| seen.insert(*reason));
    if !reasons.is_empty() {
        let _ = writeln!(
            out,
            "<p class=\"reasons\"><b>{}</b> {}.</p>",
            words::REASONS,
            escape(&reasons.join("; "))
        );
    }
    let chart = ConvergenceChart {
        words: chart_words(title, &outcome.rates),
        lines: outcome.rates.iter().map(line).collect(),
    };
    if let Some(drawing) = chart.drawing()? {
        let _ = writeln!(
            out,
            "<figure class=\"chart\">\n{}\n<figcaption class=\"quiet\">{}</figcaption></figure>",
            drawing.to_svg()?.trim_end(),
            words::UNDER_CHART
        );
    }
    if !outcome.remarks.is_empty() {
        out.push_str("<ul class=\"remarks\">\n");
        for remark in &outcome.remarks {
            let _ = writeln!(out, "<li class=\"remark\">{}</li>", escape(remark));
        }
        out.push_str("</ul>\n");
    }
    Ok(())
}

fn chart_words(title: &str, rates: &[Rate]) -> ConvergenceWords {
    ConvergenceWords {
        name: title.to_owned(),
        axes: written::AXES.map(str::to_owned),
        description: rates.iter().map(|r| written::falls(&r.quantity(), r.measured(), r.expected)).collect(),
    }
}

fn line(r: &Rate) -> Convergence {
    Convergence {
        label: r.error.to_owned(),
        points: r.points.clone(),
        expected: r.expected,
        rate: written::rate(r.measured(), r.expected),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percents_are_short_and_signed() {
        for (part, words) in [(0.0123, "+1.2 %"), (-0.00034, "−0.034 %"), (0.004, "+0.40 %"), (1e-9, "0 %")]
        {
            assert_eq!(percent(part, true), words);
        }
        for (part, words) in [(0.01, "1 %"), (0.005, "0.5 %"), (0.25 / 1.05, "23.8 %"), (5e-5, "0.005 %")] {
            assert_eq!(percent(part, false), words);
        }
    }

    #[test]
    fn numbers_that_must_be_exact_are_not_said_in_percent() {
        let check = |expected, tolerance| Check {
            quantity: String::new(),
            expected,
            got: expected + 2e-12,
            tolerance,
            reason: "",
        };
        assert_eq!(difference(&check(1.0, 1e-9)), "+2e−12");
        assert_eq!(allowed(&check(1.0, 1e-9)), "1e−9");
        assert_eq!(difference(&check(0.0, 0.5)), "+2e−12");
        assert_eq!(allowed(&check(0.0, 0.5)), "0.5");
    }
}
