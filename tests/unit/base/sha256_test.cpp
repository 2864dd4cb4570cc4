// SPDX-License-Identifier: MIT
#include "base/sha256.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "support/temp_dir.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("SHA-256: the examples of FIPS 180-2, appendix B") {
  CHECK(sha256_of("abc") ==
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sha256_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(sha256_of(std::string(1000000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
  // NIST's vector for the empty message.
  CHECK(sha256_of("") ==
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("SHA-256: pieces of any size give the same sum") {
  std::string text;
  for (int i = 0; i < 300; ++i) text += static_cast<char>(i * 7);
  const std::string whole = sha256_of(text);
  int tried = 0;
  for (std::size_t size = 1; size < 130; ++size) {
    Sha256 sum;
    for (std::size_t at = 0; at < text.size(); at += size) {
      sum.add(std::string_view(text).substr(at, size));
    }
    CHECK(sum.digest() == whole);
    ++tried;
  }
  CHECK(tried == 129);
  CHECK(sha256_of(text + "x") != whole);
}

TEST_CASE("SHA-256 of a file") {
  const TempDir dir("sha256");
  write_file_whole(dir / "a", "abc");
  CHECK(sha256_of_file(dir / "a") == sha256_of("abc"));
  write_file_whole(dir / "none", "");
  CHECK(sha256_of_file(dir / "none") == sha256_of(""));
  CHECK_THROWS_AS(sha256_of_file(dir / "absent"), InputError);
  CHECK_THROWS_AS(sha256_of_file(dir.path()), InputError);
}
