"""What pictures over many wheels need of the bench's passes, and no more of them."""

from __future__ import annotations

from buildsheet.storage.database import Section

MOST_PASSES = 50_000
MOST_WEIGHED = 2_000


def judged_since(section: Section, at: str) -> tuple[tuple[str, int, str, str, str], ...]:
    """(serial, number, read at, verdict, codes of blocks and approvals as a JSON list) of every pass read
    at or after a moment; at most `MOST_PASSES`, the newest."""
    rows = section.rows(
        """
        select serial, number, read_at, word,
               (select json_group_array(json_extract(finding.value, '$.code'))
                from json_each(answer, '$.findings') as finding
                where json_extract(finding.value, '$.severity') in ('block', 'approval'))
        from bench_passes where read_at >= ? order by read_at desc, serial, number limit ?
        """,
        at,
        MOST_PASSES,
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
        where passes.number = (
            select max(number) from bench_passes as newest
            where newest.serial = passes.serial
              and json_extract(newest.document, '$.mass_g') is not null
        )
        order by passes.read_at desc, passes.serial limit ?
        """,
        MOST_WEIGHED,
    )
    return tuple((str(serial), float(planned), float(read)) for serial, planned, read in rows)
