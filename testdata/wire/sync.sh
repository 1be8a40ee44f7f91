#!/bin/sh
# An independent client of the laptop's API, written from its description
# (/api/v1/openapi.json) alone, with nothing but sh, curl and the usual small
# tools: it joins, pushes two entries, pulls everything, and sends and checks a
# photo.
#
#   sync.sh LINK CACERT PHOTO
#
# LINK is what the laptop prints to join by (https://HOST:PORT/#join=…&key=…),
# CACERT its authority's certificate (authority.pem in the data folder), PHOTO a
# JPEG, PNG or WebP file. Every step prints a line; the first that goes wrong
# ends it.
set -eu
link=$1 cacert=$2 photo=$3
server=${link%%/#*}
secret=$(printf %s "$link" | sed 's/.*#join=\([^&]*\).*/\1/')
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

fail() { echo "$1" >&2; exit 1; }
api() { curl --silent --show-error --fail-with-body --cacert "$cacert" --header "Authorization: Bearer ${token:-}" "$@"; }
sha256() { if command -v sha256sum >/dev/null; then sha256sum; else shasum -a 256; fi | cut -c1-64; }
part() { sed -n "s/.*\"$1\":\"\{0,1\}\([^\",}]*\).*/\1/p"; } # one plain value out of an answer

# Join: the one-time secret for a token.
token=$(api --data "{\"secret\":\"$secret\",\"name\":\"shell\"}" --header 'Content-Type: application/json' "$server/api/v1/join" | part token)
[ -n "$token" ] || fail "no token"
echo "joined"

# Two entries of one record, the second chained to the first and replacing it.
# The hash of an entry is that of its bytes.
writer=shell-$(od -An -N6 -tx1 /dev/urandom | tr -d ' \n')
record=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n' | sed 's/\(.\{8\}\)\(.\{4\}\).\(.\{3\}\).\(.\{3\}\)\(.\{12\}\)/\1-\2-7\3-8\4-\5/')
now=$(date +%s)000
printf '{"id":"%s.1","at":"%s.0","record":"%s","kind":"find","field":"note","value":"written by a shell"}' "$writer" "$now" "$record" >"$work/1"
printf '{"id":"%s.2","at":"%s.1","record":"%s","kind":"find","field":"note","value":"written again","replaces":["%s.1"],"prev":"%s"}' \
	"$writer" "$now" "$record" "$writer" "$(sha256 <"$work/1")" >"$work/2"
printf '{"v":1,"entries":[%s,%s]}' "$(cat "$work/1")" "$(cat "$work/2")" >"$work/batch"
push() { api --data-binary "@$work/batch" --header 'Content-Type: application/json' "$server/api/v1/journal"; }
push >"$work/receipt"
grep -q '"refused":\[\]' "$work/receipt" && [ "$(part stored <"$work/receipt")" = 2 ] || fail "push: $(cat "$work/receipt")"
push >"$work/receipt" # as after an answer that was lost
[ "$(part known <"$work/receipt")" = 2 ] || fail "push again: $(cat "$work/receipt")"
echo "pushed"

# Pull, page by page, small pages on purpose.
cursor= more=true
while [ "$more" = true ]; do
	api "$server/api/v1/journal?limit=3&after=$cursor" >"$work/page"
	cat "$work/page" >>"$work/pulled"
	cursor=$(part cursor <"$work/page") more=$(part more <"$work/page")
	[ -n "$cursor" ] || fail "a page without its cursor: $(head -c 300 "$work/page")"
done
for n in 1 2; do
	grep -qF "$(cat "$work/$n")" "$work/pulled" || fail "entry $n didn't come back"
done
echo "pulled"

# A photo, in parts of 200,000 bytes, each from where the laptop has it to.
sum=$(sha256 <"$photo")
size=$(wc -c <"$photo" | tr -d ' ')
have=0 complete=false
while [ "$complete" = false ]; do
	tail -c "+$((have + 1))" "$photo" | head -c 200000 >"$work/part" || true
	last=$((have + $(wc -c <"$work/part") - 1))
	api --request PUT --data-binary "@$work/part" --header 'Content-Type: application/octet-stream' \
		--header "Content-Range: bytes $have-$last/$size" "$server/api/v1/photos/$sum" >"$work/progress"
	have=$(part have <"$work/progress") complete=$(part complete <"$work/progress")
done
[ "$(api "$server/api/v1/photos/$sum" | sha256)" = "$sum" ] || fail "the photo came back otherwise"
echo "photo kept"
