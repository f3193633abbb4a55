-- One engine's range with its page: sqlite3 v1/runningfits.sqlite < range.sql
SELECT lower_text || ' to ' || upper_text || ' ' || unit || ', limit ' || wear_limit_text || ' ' || unit || ', ' ||
       document || ', ' || page
FROM cited_clearances
WHERE engine = 'cummins-ntc-400' AND quantity = 'main-bearing-clearance';
