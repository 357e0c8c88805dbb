"""What pictures over many wheels need of the bench's passes, and no more of them."""

from __future__ import annotations

from buildsheet.storage.database import Section

MOST_WHEELS = 50_000
MOST_WEIGHED = 2_000


def first_judged_since(section: Section, at: str) -> tuple[tuple[str, int, str, str, str], ...]:
    """(serial, number, read at, verdict, codes of blocks and approvals as a JSON list) of the first pass of
    each wheel that was judged, where it was read at or after a moment; at most `MOST_WHEELS`."""
    rows = section.rows(
        """
        select serial, number, read_at, word,
               case word when 'pass' then '[]' else
                   (select json_group_array(json_extract(finding.value, '$.code'))
                    from json_each(answer, '$.findings') as finding
                    where json_extract(finding.value, '$.severity') in ('block', 'approval')) end
        from bench_passes as passes
        where read_at >= ? and word <> 'not-judged' and not exists (
            select 1 from bench_passes as before
            where before.serial = passes.serial and before.number < passes.number
              and before.word <> 'not-judged'
        )
        order by read_at desc, serial limit ?
        """,
        at,
        MOST_WHEELS,
    )
    return tuple(
        (str(serial), int(str(number)), str(read_at), str(word), str(codes))
        for serial, number, read_at, word, codes in rows
    )


def weighed(section: Section) -> tuple[tuple[str, float, float], ...]:
    """(serial, computed mass, measured mass) in grams of the wheels weighed last, at most `MOST_WEIGHED`:
    each by its newest pass with a mass, against the plan of the sheet that it was read under."""
    rows = section.rows(
        """
        select passes.serial, json_extract(plans.document, '$.mass_g'),
               json_extract(passes.document, '$.mass_g')
        from bench_passes as passes
        join sheets on sheets.serial = passes.serial and sheets.issue = passes.issue
        join plans on plans.digest = sheets.plan_digest
        where json_extract(passes.document, '$.mass_g') is not null and not exists (
            select 1 from bench_passes as after
            where after.serial = passes.serial and after.number > passes.number
              and json_extract(after.document, '$.mass_g') is not null
        )
        order by passes.read_at desc, passes.serial limit ?
        """,
        MOST_WEIGHED,
    )
    return tuple((str(serial), float(planned), float(read)) for serial, planned, read in rows)
