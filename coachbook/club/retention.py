"""When each student was last seen, by the newest date of anything that the book holds of them."""

from datetime import date

from coachbook.club.book import Reading
from coachbook.club.students import in_order
from coachbook.club.values import stored_date


def last_seen(book: Reading) -> dict[str, date | None]:
    """By name, in order: the newest evening on which a student was there, answered, played or was
    seen, or date of a sheet that was given out; None if there is nothing.

    It looks through every table of facts, also one that is still to come: a date in the table
    itself, else the date of the sheet that it names.
    """
    connection = book.session.connection()
    newest: dict[int, date] = {}
    for query in _queries(book):
        for student_id, text in connection.exec_driver_sql(query):
            seen = stored_date(text)
            newest[student_id] = max(seen, newest.get(student_id, seen))
    students = connection.exec_driver_sql("SELECT id, name FROM student").all()
    return {
        name: newest.get(row_id)
        for row_id, name in sorted(students, key=lambda student: in_order(student[1]))
    }


def _queries(book: Reading) -> list[str]:
    """Each gives the ids of students and the newest date in one column of one table."""
    queries = []
    for table, columns in _columns_of_facts(book).items():
        dates = [f'"{table}"."{name}"' for name, kind in columns.items() if kind == "DATE"]
        source = f'"{table}"'
        if not dates and "sheet_id" in columns:
            dates, source = ["made_on"], f'"{table}" JOIN sheet ON sheet.id = sheet_id'
        there = " AND present" if "present" in columns else ""
        queries += [
            f"SELECT student_id, max({day}) FROM {source}"  # noqa: S608 - names from the schema
            f" WHERE {day} IS NOT NULL{there} GROUP BY student_id"
            for day in dates
        ]
    return queries


def _columns_of_facts(book: Reading) -> dict[str, dict[str, str]]:
    """The columns of each table that belongs to students, with their types."""
    columns = book.session.connection().exec_driver_sql(
        "SELECT t.name, c.name, c.type FROM sqlite_master t, pragma_table_info(t.name) c"
        " WHERE t.type = 'table'"
    )
    found: dict[str, dict[str, str]] = {}
    for table, name, kind in columns:
        found.setdefault(table, {})[name] = kind
    return {table: names for table, names in found.items() if "student_id" in names}
