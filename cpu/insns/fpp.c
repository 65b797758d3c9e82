/* Floating point processor: numbers of 32 or 64 bits (FPS bit FD), integers of 16 or 32 (FL), six accumulators.  What the
 * instructions do stands in core/floating_unit.inc, the arithmetic in core/floating.c.  Codes without a meaning are no reserved
 * words: they trap through 244 with error code 2 (ms_reserved). */

/* --- status */

INSN(CFCC, "170000", PLAIN, "****", FPP, "244", "processor-handbooks-1972-81")
{ FPP(codes); }

INSN(SETF, "170001", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(short); }

INSN(SETI, "170002", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(integer); }

INSN(SETD, "170011", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(double); }

INSN(SETL, "170012", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(long); }

INSN(LDFPS, "1701SS", STATUS_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(load_status); }

INSN(STFPS, "1702DD", STATUS_OUT, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(store_status); }

/* FEC, then FEA; a register or an immediate operand has room for the first only. */
INSN(STST, "1703DD", STATUS_OUT, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(store_error); }

/* --- one operand */

INSN(CLRF, "1704FF", FLOAT_CLEAR, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(clear); }
ALIAS(CLRD, CLRF, "1704FF")

INSN(TSTF, "1705FF", FLOAT_TEST, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(test); }
ALIAS(TSTD, TSTF, "1705FF")

INSN(ABSF, "1706FF", FLOAT_CHANGE, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(absolute); }
ALIAS(ABSD, ABSF, "1706FF")

INSN(NEGF, "1707FF", FLOAT_CHANGE, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(negate); }
ALIAS(NEGD, NEGF, "1707FF")

/* --- accumulator and operand */

INSN(MULF, "171aFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(multiply); }
ALIAS(MULD, MULF, "171aFF")

/* Fraction of the product to AC, its integer part to AC OR 1. */
INSN(MODF, "171AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(split); }
ALIAS(MODD, MODF, "171AFF")

INSN(ADDF, "172aFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(add); }
ALIAS(ADDD, ADDF, "172aFF")

INSN(LDF, "172AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(load); }
ALIAS(LDD, LDF, "172AFF")

INSN(SUBF, "173aFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(subtract); }
ALIAS(SUBD, SUBF, "173aFF")

/* Codes of operand - AC. */
INSN(CMPF, "173AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(compare); }
ALIAS(CMPD, CMPF, "173AFF")

INSN(STF, "174aFF", FLOAT_OUT, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(store); }
ALIAS(STD, STF, "174aFF")

INSN(DIVF, "174AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(divide); }
ALIAS(DIVD, DIVF, "174AFF")

/* --- exponents and conversions; STEXP and STCFI set the codes of the PS too */

INSN(STEXP, "175aDD", INTEGER_OUT, "**00", FPP, "244", "processor-handbooks-1972-81")
{ FPP(store_exponent); }

INSN(STCFI, "175ADD", INTEGER_OUT, "**0*", FPP, "244", "processor-handbooks-1972-81")
{ FPP(store_integer); }
ALIAS(STCFL, STCFI, "175ADD")
ALIAS(STCDI, STCFI, "175ADD")
ALIAS(STCDL, STCFI, "175ADD")

INSN(STCFD, "176aFF", FLOAT_OUT, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(store_other); }
ALIAS(STCDF, STCFD, "176aFF")

INSN(LDEXP, "176ASS", INTEGER_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(load_exponent); }

INSN(LDCIF, "177aSS", INTEGER_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(load_integer); }
ALIAS(LDCID, LDCIF, "177aSS")
ALIAS(LDCLF, LDCIF, "177aSS")
ALIAS(LDCLD, LDCIF, "177aSS")

INSN(LDCDF, "177AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81")
{ FPP(load_other); }
ALIAS(LDCFD, LDCDF, "177AFF")
