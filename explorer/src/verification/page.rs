//! The page that `verify` writes: one file, no script, readable on a phone and on paper.

use super::Verified;
use super::table::number;
use std::fmt::Write;
use viz::{ChartError, Convergence, convergence_svg};

const STYLE: &str = "
:root { --paper: #f6efe2; --ink: #1b2730; --quiet: #5d5c55; --accent: #0d6b63; --bad: #9c2f12; --line: #d8ccb4 }
body { background: var(--paper); color: var(--ink); font: 16px/1.45 system-ui, sans-serif; margin: 0 auto;
  max-width: 68rem; padding: 1.5rem }
h1 { font-size: 1.7rem } h2 { font-size: 1.15rem; margin: 2.2rem 0 .2rem }
p { margin: .2rem 0 } .source, .remark { color: var(--quiet) }
.wide { overflow-x: auto } table { border-collapse: collapse; margin: .6rem 0; min-width: 44rem }
th, td { border-bottom: 1px solid var(--line); padding: .25rem .7rem .25rem 0; text-align: right; white-space: nowrap }
th:first-child, td:first-child { text-align: left; white-space: normal }
.pass { color: var(--accent); font-weight: 600 } .fail { color: var(--bad); font-weight: 700 }
svg { max-width: 100%; height: auto }
";

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

fn verdict(passes: bool) -> &'static str {
    if passes { "<td class=\"pass\">met</td>" } else { "<td class=\"fail\">not met</td>" }
}

/// The page.
///
/// # Errors
/// A chart cannot be drawn.
pub fn page(all: &[Verified]) -> Result<String, ChartError> {
    let failed = all.iter().filter(|v| !v.passes()).count();
    let mut out = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>pullmap: verification</title>\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><style>{STYLE}</style></head><body>\n\
         <h1>Published problems, solved again</h1>\n<p>{} of {} problems are met. Version {}. A difference is relative to \
         the published number, or absolute where that is zero.</p>\n",
        all.len() - failed,
        all.len(),
        env!("CARGO_PKG_VERSION")
    );
    // Writing to a string cannot fail.
    for v in all {
        let _ = write!(
            out,
            "<h2 id=\"{}\">{}</h2>\n<p class=\"source\">Source: {}</p>\n",
            v.problem.name,
            escape(v.problem.title),
            escape(v.problem.source)
        );
        match &v.result {
            Err(reason) => {
                let _ = writeln!(out, "<p class=\"fail\">Could not be run: {}</p>", escape(reason));
            }
            Ok(outcome) => {
                out.push_str(
                    "<div class=\"wide\"><table><tr><th>quantity</th><th>expected</th><th>got</th><th>difference</th>\
                     <th>allowed</th><th></th></tr>\n",
                );
                for c in &outcome.checks {
                    let _ = writeln!(
                        out,
                        "<tr title=\"{}\"><td>{}</td><td>{}</td><td>{}</td><td>{:+.1e}</td><td>{:.1e}</td>{}</tr>",
                        escape(c.reason),
                        escape(&c.quantity),
                        number(c.expected),
                        number(c.got),
                        c.difference(),
                        c.tolerance,
                        verdict(c.passes())
                    );
                }
                for r in &outcome.rates {
                    let _ = writeln!(
                        out,
                        "<tr><td>rate of the {}</td><td>{}</td><td>{:.2}</td><td>{:+.2}</td><td>{}</td>{}</tr>",
                        escape(&r.quantity),
                        r.expected,
                        r.measured(),
                        r.measured() - r.expected,
                        r.tolerance,
                        verdict(r.passes())
                    );
                }
                out.push_str("</table></div>\n");
                for remark in &outcome.remarks {
                    let _ = writeln!(out, "<p class=\"remark\">{}</p>", escape(remark));
                }
                let lines: Vec<Convergence> = outcome
                    .rates
                    .iter()
                    .map(|r| Convergence {
                        label: r.quantity.clone(),
                        points: r.points.clone(),
                        expected: r.expected,
                        measured: r.measured(),
                    })
                    .collect();
                if let Some(svg) = convergence_svg(v.problem.title, &lines)? {
                    out.push_str(&svg);
                    out.push('\n');
                }
            }
        }
    }
    let _ = write!(out, "<p class=\"source\">{}</p>\n</body></html>\n", escape(crate::care::CAUTION));
    Ok(out)
}
