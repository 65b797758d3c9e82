/* CIS: the commercial instruction set.  Register forms take their operands from R0 to R5, in-line forms (code + 100) from
 * the words that follow.  What they do to memory stands in core/commercial.inc, digits in core/decimals.c.  Strings can be
 * suspended by an interrupt between two bytes (core/byte_strings.h).  Its rules are recalled, most of them unconfirmed. */

/* R points at the addresses of descriptors: two for R0-R3, three for R0-R5. */
INSN(L2DR, "07602R", DESCRIPTORS, "----", CIS, "", "cis-users-guide",
     "loads R0 to R3 with the descriptors that the words at {R} lead to: {r0} {r1}, {r2} {r3}")
{ LOAD_DESCRIPTORS(2); }

INSN(L3DR, "07606R", DESCRIPTORS, "----", CIS, "", "cis-users-guide",
     "loads R0 to R5 with the descriptors that the words at {R} lead to: {r0} {r1}, {r2} {r3}, {r4} {r5}")
{ LOAD_DESCRIPTORS(3); }

/* Strings: move and fill, the same justified to the right, and through a table; codes of the two lengths. */

INSN(MOVC, "076030", COMMERCIAL, "****", CIS, "", "cis-users-guide",
     "moves the string described {o1} to the one {o2}, filled up with the byte {k4}: {1} to {2}; Z: the "
     "lengths are equal; C: the first is shorter")
{ STRING(MS_MOVE); }

INSN(MOVCI, "076130", IN_LINE_3, "****", CIS, "", "cis-users-guide",
     "moves the string described {o1} to the one {o2}, filled up with the byte {k4}: {1} to {2}; Z: the "
     "lengths are equal; C: the first is shorter")
{ STRING(MS_MOVE); }

INSN(MOVRC, "076031", COMMERCIAL, "****", CIS, "", "cis-users-guide",
     "moves the end of the string described {o1} to the end of the one {o2}, filled up with the byte {k4}: {1} "
     "becomes {2}; Z: the lengths are equal; C: the first is shorter")
{ STRING(MS_MOVE_RIGHT); }

INSN(MOVRCI, "076131", IN_LINE_3, "****", CIS, "", "cis-users-guide",
     "moves the end of the string described {o1} to the end of the one {o2}, filled up with the byte {k4}: {1} "
     "becomes {2}; Z: the lengths are equal; C: the first is shorter")
{ STRING(MS_MOVE_RIGHT); }

INSN(MOVTC, "076032", COMMERCIAL, "****", CIS, "", "cis-users-guide",
     "moves the string described {o1} to the one {o2}, filled up with the byte {k4}, through the table {k5}: {1} "
     "becomes {2}; Z: the lengths are equal; C: the first is shorter")
{ STRING(MS_TRANSLATE); }

INSN(MOVTCI, "076132", IN_LINE_4, "****", CIS, "", "cis-users-guide",
     "moves the string described {o1} to the one {o2}, filled up with the byte {k4}, through the table {k5}: {1} "
     "becomes {2}; Z: the lengths are equal; C: the first is shorter")
{ STRING(MS_TRANSLATE); }

/* Searches for a character, for another one, for one of a set, for one outside of it. */

INSN(LOCC, "076040", COMMERCIAL, "**00", CIS, "", "cis-users-guide",
     "looks for the byte {k4} in the string described {o1}: in {1}, R0 is {r0}, R1 is {r1}; Z: there is none")
{ STRING(MS_LOCATE); }

INSN(LOCCI, "076140", IN_LINE_2, "**00", CIS, "", "cis-users-guide",
     "looks for the byte {k4} in the string described {o1}: in {1}, R0 is {r0}, R1 is {r1}; Z: there is none")
{ STRING(MS_LOCATE); }

INSN(SKPC, "076041", COMMERCIAL, "**00", CIS, "", "cis-users-guide",
     "looks for a byte other than the one {k4} in the string described {o1}: in {1}, R0 is {r0}, R1 is {r1}; Z: there is "
     "none")
{ STRING(MS_SKIP); }

INSN(SKPCI, "076141", IN_LINE_2, "**00", CIS, "", "cis-users-guide",
     "looks for a byte other than the one {k4} in the string described {o1}: in {1}, R0 is {r0}, R1 is {r1}; Z: there is "
     "none")
{ STRING(MS_SKIP); }

INSN(SCANC, "076042", COMMERCIAL, "**00", CIS, "", "cis-users-guide",
     "looks in the string described {o1} for a byte of the set described {o3}: in {1}, R0 is {r0}, R1 is {r1}; Z: "
     "there is none")
{ STRING(MS_SCAN); }

INSN(SCANCI, "076142", IN_LINE_2, "**00", CIS, "", "cis-users-guide",
     "looks in the string described {o1} for a byte of the set described {o3}: in {1}, R0 is {r0}, R1 is {r1}; Z: "
     "there is none")
{ STRING(MS_SCAN); }

INSN(SPANC, "076043", COMMERCIAL, "**00", CIS, "", "cis-users-guide",
     "looks in the string described {o1} for a byte outside the set described {o3}: in {1}, R0 is {r0}, R1 is "
     "{r1}; Z: there is none")
{ STRING(MS_SPAN); }

INSN(SPANCI, "076143", IN_LINE_2, "**00", CIS, "", "cis-users-guide",
     "looks in the string described {o1} for a byte outside the set described {o3}: in {1}, R0 is {r0}, R1 is "
     "{r1}; Z: there is none")
{ STRING(MS_SPAN); }

/* Codes of the two bytes that differ. */

INSN(CMPC, "076044", COMMERCIAL, "****", CIS, "", "cis-users-guide",
     "compares the string described {o1} with the one {o2}, filled up with the byte {k4}: {1} with {2}; Z: they "
     "are equal; C: the first is lower")
{ STRING(MS_COMPARE_STRINGS); }

INSN(CMPCI, "076144", IN_LINE_3, "****", CIS, "", "cis-users-guide",
     "compares the string described {o1} with the one {o2}, filled up with the byte {k4}: {1} with {2}; Z: they "
     "are equal; C: the first is lower")
{ STRING(MS_COMPARE_STRINGS); }

/* Where does the second string occur in the first? */

INSN(MATC, "076045", COMMERCIAL, "**00", CIS, "", "cis-users-guide",
     "looks for the string described {o2} in the one {o1}: {2} in {1}, R0 is {r0}, R1 is {r1}; Z: it is not there")
{ STRING(MS_MATCH); }

INSN(MATCI, "076145", IN_LINE_2, "**00", CIS, "", "cis-users-guide",
     "looks for the string described {o2} in the one {o1}: {2} in {1}, R0 is {r0}, R1 is {r1}; Z: it is not there")
{ STRING(MS_MATCH); }

/* Numeric decimal strings.  V: digits were lost. */

INSN(ADDN, "076050", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "adds two decimal strings, described {o1} and {o2}, to the one {o3}: {1} + {2} gives {3}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_ADD); }

INSN(ADDNI, "076150", IN_LINE_3, "***0", CIS, "", "cis-users-guide",
     "adds two decimal strings, described {o1} and {o2}, to the one {o3}: {1} + {2} gives {3}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_ADD); }

INSN(SUBN, "076051", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "subtracts the decimal string described {o1} from the one {o2}, to the one {o3}: {2} - {1} gives {3}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SUBTRACT); }

INSN(SUBNI, "076151", IN_LINE_3, "***0", CIS, "", "cis-users-guide",
     "subtracts the decimal string described {o1} from the one {o2}, to the one {o3}: {2} - {1} gives {3}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SUBTRACT); }

INSN(CMPN, "076052", COMMERCIAL, "**00", CIS, "", "cis-users-guide",
     "compares the decimal string described {o1} with the one {o2}: {1} with {2}; N: the first is less; Z: they "
     "are equal")
{ DECIMAL(MS_DECIMAL_COMPARE); }

INSN(CMPNI, "076152", IN_LINE_2, "**00", CIS, "", "cis-users-guide",
     "compares the decimal string described {o1} with the one {o2}: {1} with {2}; N: the first is less; Z: they "
     "are equal")
{ DECIMAL(MS_DECIMAL_COMPARE); }

INSN(ASHN, "076056", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "shifts the decimal string described {o1} by the count {k4}, to the one {o2}: {1} gives {2}; N: the result "
     "is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SHIFT); }

INSN(ASHNI, "076156", IN_LINE_3, "***0", CIS, "", "cis-users-guide",
     "shifts the decimal string described {o1} by the count {k4}, to the one {o2}: {1} gives {2}; N: the result "
     "is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SHIFT); }

INSN(CVTNP, "076055", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1}, numeric to packed, to the one {o2}: {1} gives {2}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_CONVERT); }

INSN(CVTNPI, "076155", IN_LINE_2, "***0", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1}, numeric to packed, to the one {o2}: {1} gives {2}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_CONVERT); }

INSN(CVTNL, "076053", COMMERCIAL, "****", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1} to a long integer {k2}: {1} gives {2}; N: the integer is "
     "negative; Z: the integer is 0; V: the integer does not fit")
{ DECIMAL(MS_DECIMAL_TO_LONG); }

INSN(CVTNLI, "076153", IN_LINE_2, "****", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1} to a long integer {k2}: {1} gives {2}; N: the integer is "
     "negative; Z: the integer is 0; V: the integer does not fit")
{ DECIMAL(MS_DECIMAL_TO_LONG); }

INSN(CVTLN, "076057", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "converts a long integer {k2} to the decimal string described {o1}: {1} gives {2}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_FROM_LONG); }

INSN(CVTLNI, "076157", IN_LINE_2, "***0", CIS, "", "cis-users-guide",
     "converts a long integer {k2} to the decimal string described {o1}: {1} gives {2}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_FROM_LONG); }

/* Packed decimal strings.  V: digits were lost. */

INSN(ADDP, "076070", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "adds two decimal strings, described {o1} and {o2}, to the one {o3}: {1} + {2} gives {3}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_ADD); }

INSN(ADDPI, "076170", IN_LINE_3, "***0", CIS, "", "cis-users-guide",
     "adds two decimal strings, described {o1} and {o2}, to the one {o3}: {1} + {2} gives {3}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_ADD); }

INSN(SUBP, "076071", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "subtracts the decimal string described {o1} from the one {o2}, to the one {o3}: {2} - {1} gives {3}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SUBTRACT); }

INSN(SUBPI, "076171", IN_LINE_3, "***0", CIS, "", "cis-users-guide",
     "subtracts the decimal string described {o1} from the one {o2}, to the one {o3}: {2} - {1} gives {3}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SUBTRACT); }

INSN(MULP, "076074", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "multiplies two decimal strings, described {o1} and {o2}, to the one {o3}: {1} * {2} gives {3}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_MULTIPLY); }

INSN(MULPI, "076174", IN_LINE_3, "***0", CIS, "", "cis-users-guide",
     "multiplies two decimal strings, described {o1} and {o2}, to the one {o3}: {1} * {2} gives {3}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_MULTIPLY); }

INSN(DIVP, "076075", COMMERCIAL, "****", CIS, "", "cis-users-guide",
     "divides the decimal string described {o2} by the one {o1}, to the one {o3}: {2} / {1}[ gives {3}]; N: the "
     "result is negative; Z: the result is 0; C: the divisor is 0")
{ DECIMAL(MS_DECIMAL_DIVIDE); }

INSN(DIVPI, "076175", IN_LINE_3, "****", CIS, "", "cis-users-guide",
     "divides the decimal string described {o2} by the one {o1}, to the one {o3}: {2} / {1}[ gives {3}]; N: the "
     "result is negative; Z: the result is 0; C: the divisor is 0")
{ DECIMAL(MS_DECIMAL_DIVIDE); }

INSN(CMPP, "076072", COMMERCIAL, "**00", CIS, "", "cis-users-guide",
     "compares the decimal string described {o1} with the one {o2}: {1} with {2}; N: the first is less; Z: they "
     "are equal")
{ DECIMAL(MS_DECIMAL_COMPARE); }

INSN(CMPPI, "076172", IN_LINE_2, "**00", CIS, "", "cis-users-guide",
     "compares the decimal string described {o1} with the one {o2}: {1} with {2}; N: the first is less; Z: they "
     "are equal")
{ DECIMAL(MS_DECIMAL_COMPARE); }

INSN(ASHP, "076076", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "shifts the decimal string described {o1} by the count {k4}, to the one {o2}: {1} gives {2}; N: the result "
     "is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SHIFT); }

INSN(ASHPI, "076176", IN_LINE_3, "***0", CIS, "", "cis-users-guide",
     "shifts the decimal string described {o1} by the count {k4}, to the one {o2}: {1} gives {2}; N: the result "
     "is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_SHIFT); }

INSN(CVTPN, "076054", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1}, packed to numeric, to the one {o2}: {1} gives {2}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_CONVERT); }

INSN(CVTPNI, "076154", IN_LINE_2, "***0", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1}, packed to numeric, to the one {o2}: {1} gives {2}; N: the "
     "result is negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_CONVERT); }

INSN(CVTPL, "076073", COMMERCIAL, "****", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1} to a long integer {k2}: {1} gives {2}; N: the integer is "
     "negative; Z: the integer is 0; V: the integer does not fit")
{ DECIMAL(MS_DECIMAL_TO_LONG); }

INSN(CVTPLI, "076173", IN_LINE_2, "****", CIS, "", "cis-users-guide",
     "converts the decimal string described {o1} to a long integer {k2}: {1} gives {2}; N: the integer is "
     "negative; Z: the integer is 0; V: the integer does not fit")
{ DECIMAL(MS_DECIMAL_TO_LONG); }

INSN(CVTLP, "076077", COMMERCIAL, "***0", CIS, "", "cis-users-guide",
     "converts a long integer {k2} to the decimal string described {o1}: {1} gives {2}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_FROM_LONG); }

INSN(CVTLPI, "076177", IN_LINE_2, "***0", CIS, "", "cis-users-guide",
     "converts a long integer {k2} to the decimal string described {o1}: {1} gives {2}; N: the result is "
     "negative; Z: the result is 0; V: digits were lost")
{ DECIMAL(MS_DECIMAL_FROM_LONG); }
