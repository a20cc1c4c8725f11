//! Requests that carry a file: its bytes as they are, behind the JSON that every request has.

use super::api_error::ApiError;
use super::bad_request::BadRequest;
use axum::body::Bytes;

/// Addresses that take such requests.
pub const CARRIERS: [&str; 2] = ["/api/trace", "/api/log/add"];

/// Bytes of the JSON before a file, at most.
const LARGEST_JSON: usize = 64 << 10;

/// Bytes of the number that tells the length of the JSON.
const LENGTH: usize = 4;

/// The most that a request with a file of so many bytes may hold.
pub const fn with_json(file: usize) -> usize {
    file + LARGEST_JSON + LENGTH
}

/// The JSON, and the bytes behind it.
///
/// # Errors
/// [`BadRequest::Carried`]: the JSON is longer than it may be, or than what came.
pub fn apart(body: &Bytes) -> Result<(Bytes, Bytes), ApiError> {
    let length = body.first_chunk::<LENGTH>().map(|bytes| u32::from_le_bytes(*bytes) as usize);
    let end = length.filter(|length| *length <= LARGEST_JSON).map(|length| LENGTH + length);
    match end {
        Some(end) if end <= body.len() => Ok((body.slice(LENGTH..end), body.slice(end..))),
        _ => Err(BadRequest::Carried.into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shorter_than_it_says_is_refused() {
        let whole = Bytes::from_static(b"\x02\0\0\0{}file");
        let (json, file) = apart(&whole).unwrap();
        assert_eq!((&json[..], &file[..]), (&b"{}"[..], &b"file"[..]));
        for body in [&b""[..], b"\x02\0\0", b"\x03\0\0\0{}", b"\xff\xff\xff\xff{}"] {
            assert_eq!(apart(&Bytes::copy_from_slice(body)).unwrap_err(), BadRequest::Carried.into());
        }
    }
}
