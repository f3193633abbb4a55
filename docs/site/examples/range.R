# One engine's range with its page; base R alone. colClasses keeps numbers as printed, trailing zeros and all.
rows <- read.csv("v1/csv/clearances.csv", colClasses = "character")
found <- rows[rows$engine == "cummins-ntc-400" & rows$quantity == "main-bearing-clearance", ]
cat(sprintf("%s to %s %s, limit %s %s, %s, %s\n", found$lower, found$upper, found$unit, found$limit, found$unit,
            found$source, found$page), sep = "")
