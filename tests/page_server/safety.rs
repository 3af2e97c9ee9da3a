//! Only the maker gets in.

use hyper::StatusCode;

use crate::visitor::{Ask, House, PORT, ask, token_of};

fn status(house: &House, request: Ask) -> StatusCode {
    ask(&house.page, &request).status
}

/// Another name that leads to this machine (DNS rebinding) is another Host.
#[test]
fn only_our_own_two_names_are_answered_to() {
    let house = House::of_anna();
    let hosts = [
        "evil.example",
        "127.0.0.1",
        "localhost",
        "127.0.0.1:1",
        "127.0.0.1:4711.evil.example",
        "[::1]:4711",
        "",
    ];
    for path in ["/", "/api/start"] {
        for host in hosts {
            assert_eq!(status(&house, Ask::get(path).with("host", host)), StatusCode::FORBIDDEN, "{host}");
        }
        assert_eq!(status(&house, Ask::get(path).without("host")), StatusCode::FORBIDDEN);
        let twice = Ask::get(path).and("host", "evil.example");
        assert_eq!(status(&house, twice), StatusCode::FORBIDDEN);
        assert_eq!(status(&house, Ask::get(path)), StatusCode::OK);
        assert_eq!(status(&house, Ask::get(path).with("host", &format!("localhost:{PORT}"))), StatusCode::OK);
    }
}

#[test]
fn what_other_pages_send_is_refused_even_with_the_token() {
    let house = House::of_anna();
    let edit = Ask::post("/api/shelf-is-no-post", "{}");
    let origins = [
        "null",
        "http://evil.example",
        "https://127.0.0.1:4711",
        "http://127.0.0.1:4712",
        "http://localhost:4711",
        "",
    ];
    for origin in origins {
        assert_eq!(status(&house, edit.clone().with("origin", origin)), StatusCode::FORBIDDEN, "{origin}");
        assert_eq!(
            status(&house, Ask::get("/api/start").with("origin", origin)),
            StatusCode::FORBIDDEN,
            "{origin}"
        );
    }
    assert_eq!(status(&house, edit.clone().without("origin")), StatusCode::FORBIDDEN);
    assert_eq!(status(&house, edit), StatusCode::NOT_FOUND);
    for site in ["cross-site", "same-site", "odd"] {
        for path in ["/", "/main.js", "/api/start"] {
            let request = Ask::get(path).with("sec-fetch-site", site);
            assert_eq!(status(&house, request), StatusCode::FORBIDDEN, "{site} {path}");
        }
    }
    assert_eq!(status(&house, Ask::get("/api/start").without("sec-fetch-site")), StatusCode::OK);
    assert_eq!(status(&house, Ask::get("/").with("sec-fetch-site", "none")), StatusCode::OK);
}

/// The private file is another site to the browser; it may open the page, and nothing else may be had so.
#[test]
fn the_page_can_be_opened_from_a_file_but_not_framed_and_not_read() {
    let house = House::of_anna();
    let open = |path: &str, mode: &str, dest: &str| {
        let request = Ask::get(path).with("sec-fetch-site", "cross-site");
        status(&house, request.with("sec-fetch-mode", mode).with("sec-fetch-dest", dest))
    };
    assert_eq!(open("/", "navigate", "document"), StatusCode::OK);
    assert_eq!(open("/", "navigate", "iframe"), StatusCode::FORBIDDEN);
    assert_eq!(open("/", "no-cors", "script"), StatusCode::FORBIDDEN);
    assert_eq!(open("/main.js", "no-cors", "script"), StatusCode::FORBIDDEN);
    assert_eq!(open("/api/start", "navigate", "document"), StatusCode::FORBIDDEN);
}

#[test]
fn everything_of_the_maker_asks_for_the_token() {
    let house = House::of_anna();
    let token = token_of(&house.page);
    let anna = "?file=anna.figure.toml";
    let gets = ["start", "shelf", "figure", "version", "reference", "picture", "parts", "nothing"];
    let posts = ["edit", "undo", "redo", "answer", "sheet", "show", "draft", "draft/save"];
    let gets = gets.map(|path| Ask::get(&format!("/api/{path}{anna}")));
    let posts = posts.map(|path| Ask::post(&format!("/api/{path}"), "{}"));
    for request in gets.into_iter().chain(posts) {
        let request = request.without_token();
        assert_eq!(status(&house, request.clone()), StatusCode::UNAUTHORIZED, "{}", request.path);
        for wrong in [
            "",
            "Bearer ",
            "Bearer x",
            &token,
            &format!("Basic {token}"),
            &format!("Bearer {token}0"),
            &format!("Bearer {}", &token[1..]),
        ] {
            let request = request.clone().with("authorization", wrong);
            assert_eq!(status(&house, request), StatusCode::UNAUTHORIZED, "{wrong}");
        }
        let mut in_address = request;
        in_address.path += &format!("&token={token}");
        assert_eq!(status(&house, in_address), StatusCode::UNAUTHORIZED);
    }
    // The token of another start is none here.
    let other = House::of_anna();
    let request = Ask::get("/api/start").without_token();
    let request = request.with("authorization", &format!("Bearer {}", token_of(&other.page)));
    assert_eq!(status(&house, request), StatusCode::UNAUTHORIZED);
    assert!(token.len() * 4 >= 128, "each hexadecimal digit is four bits");
}

#[test]
fn only_json_is_taken_and_only_get_and_post() {
    let house = House::of_anna();
    let post = Ask::post("/api/edit", "{}");
    for kind in
        ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "", "application/jsonx"]
    {
        let request = post.clone().with("content-type", kind);
        assert_eq!(status(&house, request), StatusCode::UNSUPPORTED_MEDIA_TYPE, "{kind}");
    }
    assert_eq!(status(&house, post.clone().without("content-type")), StatusCode::UNSUPPORTED_MEDIA_TYPE);
    let with_charset = post.with("content-type", "application/json; charset=utf-8");
    assert_eq!(status(&house, with_charset), StatusCode::BAD_REQUEST);
    for method in ["PUT", "DELETE", "OPTIONS", "PATCH", "HEAD", "TRACE", "CONNECT"] {
        let request = Ask { method, ..Ask::get("/api/start") };
        assert_eq!(status(&house, request), StatusCode::METHOD_NOT_ALLOWED, "{method}");
    }
}

#[test]
fn every_answer_keeps_the_browser_strict() {
    let house = House::of_anna();
    let asks = [
        (Ask::get("/"), 200),
        (Ask::get("/main.js"), 200),
        (Ask::get("/favicon.ico"), 200),
        (Ask::get("/api/start"), 200),
        (Ask::get("/nothing"), 404),
        (Ask::get("/").with("host", "evil.example"), 403),
        (Ask::get("/api/start").without_token(), 401),
        (Ask::post("/api/edit", "{"), 400),
    ];
    for (request, wanted) in asks {
        let told = ask(&house.page, &request);
        assert_eq!(told.status.as_u16(), wanted, "{}", request.path);
        let policy = told.header("content-security-policy");
        assert_eq!(
            policy,
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; \
             base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        );
        let headers = [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cache-control", "no-store"),
            ("cross-origin-resource-policy", "same-origin"),
            ("cross-origin-opener-policy", "same-origin"),
        ];
        headers.iter().for_each(|(name, value)| assert_eq!(told.header(name), *value, "{}", request.path));
        assert_eq!(told.header("access-control-allow-origin"), "");
        assert!(!told.text().contains(&token_of(&house.page)));
    }
}

/// The policy forbids what is not from here; the page itself must not ask for it either.
#[test]
fn the_page_has_no_script_or_style_in_its_text_and_nothing_from_elsewhere() {
    let house = House::of_anna();
    let page = house.get("/").text();
    assert!(page.contains("main.js"), "the page was not served");
    for forbidden in
        ["<style", " style=", " onclick", " onload", "javascript:", "https://", "http://", "eval("]
    {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
    assert!(!page.contains("<script>"));
}

#[test]
fn what_cannot_be_read_is_refused_in_words() {
    let house = House::of_anna();
    let bodies =
        ["", "{", "[]", "null", "{\"file\":1}", "{\"file\":\"anna.figure.toml\"}", "\u{0}", "{\"do\":{}}"];
    for path in ["edit", "undo", "redo", "answer", "sheet", "show", "draft", "draft/save"] {
        for body in bodies {
            let told = ask(&house.page, &Ask::post(&format!("/api/{path}"), body));
            let is_fine = (path == "sheet" || path == "show") && body.contains("anna");
            assert!(told.status.is_client_error() || is_fine, "{path} {body} {}", told.status);
            if !is_fine {
                assert!(!told.json()["error"]["what"].as_str().unwrap().is_empty());
            }
        }
    }
    // Deep nesting must not use up the stack.
    let deep = "[".repeat(200_000);
    assert_eq!(ask(&house.page, &Ask::post("/api/edit", &deep)).status, StatusCode::BAD_REQUEST);
}
