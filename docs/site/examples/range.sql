-- One engine's range with its page: sqlite3 v1/runningfits.sqlite < range.sql
SELECT c.lower || ' to ' || c.upper || ' ' || c.unit || ', limit ' || c.limit_value || ' ' || c.unit || ', ' ||
       s.number || ', ' || c.page
FROM (SELECT *, "limit" AS limit_value FROM clearances) AS c JOIN sources AS s USING (source)
WHERE c.engine = 'cummins-ntc-400' AND c.quantity = 'main-bearing-clearance';
